package book

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"soundmetal/job"
	"soundmetal/store"
)

// Registry is what belongs to no single job: the shop, the settings, customers,
// machines and devices. Of two settings of one field the later one holds, in
// the order of the entries, in whichever order they arrive.
type Registry struct {
	shop      fields
	settings  fields
	customers map[string]fields
	machines  map[string]fields
	devices   fields
}

// fields are texts by path, each with the place of the entry that set it.
type fields map[string]stamped

type stamped struct {
	Text   string      `json:"t"`
	Clock  store.Clock `json:"c"`
	Device string      `json:"d"`
}

func newRegistry() *Registry {
	return &Registry{shop: fields{}, settings: fields{}, customers: map[string]fields{}, machines: map[string]fields{}, devices: fields{}}
}

// set keeps the later of two texts. Taking a field out keeps its stamp.
func (f fields) set(r *record, set map[string]string) {
	for path, text := range set {
		old, ok := f[path]
		if ok && cmp.Or(r.clock.Compare(old.Clock), cmp.Compare(r.ref.Device, old.Device)) < 0 {
			continue
		}
		f[path] = stamped{strings.TrimSpace(text), r.clock, r.ref.Device}
	}
}

// texts gives the fields that are set.
func (f fields) texts() map[string]string {
	all := map[string]string{}
	for path, s := range f {
		if s.Text != "" {
			all[path] = s.Text
		}
	}
	return all
}

func (r *Registry) fold(e *record) {
	of := func(all map[string]fields, id string) fields {
		if all[id] == nil {
			all[id] = fields{}
		}
		return all[id]
	}
	switch b := e.body.(type) {
	case ShopSet:
		r.shop.set(e, b.Set)
	case SettingsSet:
		r.settings.set(e, b.Set)
	case CustomerSet:
		of(r.customers, b.ID).set(e, b.Set)
	case MachineSet:
		of(r.machines, b.ID).set(e, b.Set)
	case DeviceNamed:
		r.devices.set(e, map[string]string{b.Device: b.Name})
	}
}

// clone is a copy that later entries do not change.
func (r *Registry) clone() *Registry {
	deep := func(m map[string]fields) map[string]fields {
		out := make(map[string]fields, len(m))
		for id, f := range m {
			out[id] = maps.Clone(f)
		}
		return out
	}
	return &Registry{maps.Clone(r.shop), maps.Clone(r.settings), deep(r.customers), deep(r.machines), maps.Clone(r.devices)}
}

// ShopFields gives the shop's fields as they were typed.
func (r *Registry) ShopFields() map[string]string { return r.shop.texts() }

// Shop reads the shop's fields; nil where none is set yet.
func (r *Registry) Shop() (*job.Shop, error) { return readShop(r.shop.texts()) }

// Units is the system of the shop; "" while it is not set.
func (r *Registry) Units() job.Units {
	switch u := strings.ToLower(r.shop["units"].Text); u {
	case "us", "si":
		return job.Units(u)
	}
	return ""
}

// Setting gives one of the settings of settingWords, its default where it is
// not set.
func (r *Registry) Setting(name string) string {
	if s := r.settings[name].Text; s != "" {
		return s
	}
	if s, ok := settingOf(name); ok && len(s.words) > 0 {
		return s.words[0]
	}
	return ""
}

// setting is one thing about the tool that can be set.
type setting struct {
	name  string
	words []string // accepted; the first is the default; none: any text
}

// settings are what SetSettings accepts.
var settings = []setting{
	{"photo_place", []string{"no", "yes"}}, // keep where a photo was taken?
	{"hand", []string{"right", "left"}},    // thumb that reaches the buttons
	{"explain", []string{"no", "yes"}},     // show the working to the apprentice
	{"night", []string{"no", "yes"}},
	{"demo", []string{"shown", "cleared"}},
	{"welder", nil}, // name that stands in the record
}

func settingOf(name string) (setting, bool) {
	i := slices.IndexFunc(settings, func(s setting) bool { return s.name == name })
	if i < 0 {
		return setting{}, false
	}
	return settings[i], true
}

// DeviceName gives the name that people read, the id where it has none.
func (r *Registry) DeviceName(device string) string {
	if n := r.devices[device].Text; n != "" {
		return n
	}
	return device
}

// Party is a customer or a machine: its id and its fields as they were typed.
type Party struct {
	ID  string
	Set map[string]string
}

// Get gives a field.
func (p Party) Get(name string) string { return p.Set[name] }

// Label is what a list calls it.
func (p Party) Label() string {
	for _, name := range []string{"name", "kind"} {
		if text := p.Set[name]; text != "" {
			for _, more := range []string{"model", "serial"} {
				if m := p.Set[more]; m != "" && name == "kind" {
					text += ", " + m
				}
			}
			return text
		}
	}
	return p.ID
}

// Customer gives a customer by id.
func (r *Registry) Customer(id string) (Party, bool) { return party(r.customers, id) }

// Machine gives a machine by id.
func (r *Registry) Machine(id string) (Party, bool) { return party(r.machines, id) }

func party(all map[string]fields, id string) (Party, bool) {
	f, ok := all[id]
	return Party{id, f.texts()}, ok
}

// Customers lists the customers by label.
func (r *Registry) Customers() []Party { return parties(r.customers) }

// Machines lists the machines by label.
func (r *Registry) Machines() []Party { return parties(r.machines) }

func parties(all map[string]fields) []Party {
	list := make([]Party, 0, len(all))
	for id := range all {
		p, _ := party(all, id)
		list = append(list, p)
	}
	slices.SortFunc(list, func(a, b Party) int {
		return cmp.Or(cmp.Compare(strings.ToLower(a.Label()), strings.ToLower(b.Label())), cmp.Compare(a.ID, b.ID))
	})
	return list
}

// SameMachine finds a machine with the serial number: two machines of one maker
// never share it.
func (r *Registry) SameMachine(serial string) (Party, bool) {
	want := squeezed(serial)
	if want == "" {
		return Party{}, false
	}
	for _, p := range r.Machines() {
		if squeezed(p.Set["serial"]) == want {
			return p, true
		}
	}
	return Party{}, false
}

// squeezed leaves letters and digits only.
func squeezed(s string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case 'A' <= c && c <= 'Z':
			return c + 'a' - 'A'
		case 'a' <= c && c <= 'z', '0' <= c && c <= '9':
			return c
		}
		return -1
	}, s)
}
