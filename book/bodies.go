package book

// Bodies of the entries. Times are absolute; a nil pointer or an empty text is
// "not said". Item is the id of a damaged place.

type (
	// ShopSet sets fields of the shop file, as they were typed: path to text;
	// an empty text takes the field out.
	ShopSet struct {
		Set map[string]string `json:"set"`
	}

	// SettingsSet sets how the tool behaves: see Settings.
	SettingsSet struct {
		Set map[string]string `json:"set"`
	}

	// CustomerSet sets fields of a customer: name, phone, address, note.
	CustomerSet struct {
		ID  string            `json:"id"`
		Set map[string]string `json:"set"`
	}

	// MachineSet sets fields of a machine: kind, model, serial, year, name, note
	// and customer (an id).
	MachineSet struct {
		ID  string            `json:"id"`
		Set map[string]string `json:"set"`
	}

	// DeviceNamed gives a device the name that people read.
	DeviceNamed struct {
		Device string `json:"device"`
		Name   string `json:"name"`
	}
)
