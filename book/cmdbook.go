package book

import (
	"reflect"
	"slices"

	"soundmetal/store"
)

// SetShop sets fields of the shop file as they are typed: path to text, see
// docs/job-format.md; an empty text takes the field out.
type SetShop struct{ Set map[string]string }

func (SetShop) about() string { return "" }

func (c SetShop) decide(d *desk) error {
	if len(c.Set) == 0 {
		return refuse(CodeField, "", "nothing to set")
	}
	if err := checkFields(c.Set); err != nil {
		return err
	}
	if _, err := readShop(merge(d.view.Registry().ShopFields(), c.Set)); err != nil {
		return err
	}
	return d.put(KindShop, "", ShopSet(c))
}

// SetSettings sets how the tool behaves: photo_place, hand, explain, night, demo,
// welder.
type SetSettings struct{ Set map[string]string }

func (SetSettings) about() string { return "" }

func (c SetSettings) decide(d *desk) error {
	if len(c.Set) == 0 {
		return refuse(CodeField, "", "nothing to set")
	}
	for name, word := range c.Set {
		s, ok := settingOf(name)
		if !ok {
			return refuse(CodeUnknown, name, "there is no setting %q", clipped(name))
		}
		if s.words != nil && word != "" && !slices.Contains(s.words, word) {
			return one(name, word, s.words...)
		}
		if _, err := optional(name, word); err != nil {
			return err
		}
	}
	return d.put(KindSettings, "", SettingsSet(c))
}

var (
	customerFields = []string{"name", "phone", "address", "note"}
	machineFields  = []string{"kind", "model", "serial", "year", "name", "note", "customer"}
)

// SetCustomer sets fields of a customer: name, phone, address, note. ID "" makes
// a new one.
type SetCustomer struct {
	ID  string
	Set map[string]string
}

func (SetCustomer) about() string { return "" }

func (c SetCustomer) decide(d *desk) error {
	if err := onlyFields(c.Set, customerFields); err != nil {
		return err
	}
	if c.ID == "" {
		if _, err := text("name", "what is the customer's name?", c.Set["name"]); err != nil {
			return err
		}
		c.ID = d.newID("c")
	}
	return d.put(KindCustomer, "", CustomerSet(c))
}

// SetMachine sets fields of a machine: kind, model, serial, year, name, note,
// customer. ID "" makes a new one.
type SetMachine struct {
	ID  string
	Set map[string]string
}

func (SetMachine) about() string { return "" }

func (c SetMachine) decide(d *desk) error {
	if err := onlyFields(c.Set, machineFields); err != nil {
		return err
	}
	if c.ID == "" {
		if _, err := text("kind", "what machine is it?", c.Set["kind"]); err != nil {
			return err
		}
		c.ID = d.newID("m")
	}
	return d.put(KindMachine, "", MachineSet(c))
}

func onlyFields(set map[string]string, known []string) error {
	if len(set) == 0 {
		return refuse(CodeField, "", "nothing to set")
	}
	for name, text := range set {
		if !slices.Contains(known, name) {
			return refuse(CodeField, name, "there is no field %q here", clipped(name))
		}
		if _, err := optional(name, text); err != nil {
			return err
		}
	}
	return nil
}

// NameDevice gives a device the name that people read.
type NameDevice struct {
	Device string
	Name   string
}

func (NameDevice) about() string { return "" }

func (c NameDevice) decide(d *desk) error {
	if err := store.CheckDevice(c.Device); err != nil {
		return refuse(CodeField, "device", "%v", err)
	}
	name, err := text("name", "give the device a name: phone, office", c.Name)
	if err != nil {
		return err
	}
	return d.put(KindDevice, "", DeviceNamed{c.Device, name})
}

func sameType(a, b any) bool { return reflect.TypeOf(a) == reflect.TypeOf(b) }

// checkAny checks a body by the rules of its own kind.
func checkAny(body any) error {
	v := reflect.New(reflect.TypeOf(body))
	v.Elem().Set(reflect.ValueOf(body))
	if c, ok := v.Interface().(checked); ok {
		return c.check()
	}
	return nil
}
