package job_test

import (
	"errors"
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

func TestContacts(t *testing.T) {
	j, err := job.Read("j.yaml", []byte(`part: beam
machine:
  kind: log splitter
  like: none
  contacts:
    - {from: beam, to: frame, kind: pin, name: hinge}
    - {from: beam, to: ram, kind: cylinder, ohm: 5 mohm}
    - {from: frame, to: axle, kind: nothing}
`))
	if err != nil {
		t.Fatal(err)
	}
	m := j.Machine
	if m.Like != job.NoDrawing || len(m.Contacts) != 3 {
		t.Fatalf("got %+v", m)
	}
	if c := m.Contacts[0]; c.From != "beam" || c.To != "frame" || c.Kind != "pin-greased" || c.Name != "hinge" || c.Ohm.Known {
		t.Errorf("first: got %+v", c)
	}
	if c := m.Contacts[1]; c.Ohm != q.Known(5*q.Milliohm) {
		t.Errorf("ohm: got %v, want 5 mΩ", c.Ohm)
	}
	if c := m.Contacts[2]; c.Kind != job.Open {
		t.Errorf("third: got %q, want open", c.Kind)
	}
}

func TestContactFaults(t *testing.T) {
	for name, c := range map[string]struct {
		contacts, says string
		line           int
	}{
		"one end":           {"    - {from: beam, kind: pin}\n", "from and to", 4},
		"to itself":         {"    - {from: left beam, to: Left-Beam, kind: pin}\n", "both ends", 4},
		"no kind":           {"    - {from: beam, to: frame}\n", "kind is missing", 4},
		"kind not known":    {"    - {from: beam, to: frame, kind: unknown}\n", "kind is missing", 4},
		"wrong kind":        {"    - {from: beam, to: frame, kind: glue}\n", "glue", 4},
		"near kind":         {"    - {from: beam, to: frame, kind: cilinder}\n", `"cylinder"`, 4},
		"ohm without unit":  {"    - {from: beam, to: frame, kind: pin, ohm: 5}\n", "5", 4},
		"megohm":            {"    - {from: beam, to: frame, kind: pin, ohm: 5 Mohm}\n", "Mohm", 4},
		"too many ohms":     {"    - {from: beam, to: frame, kind: pin, ohm: 5000 ohm}\n", "5000", 4},
		"a rubber resistor": {"    - {from: wheel, to: ground, kind: tyre, ohm: 5 mohm}\n", "does not conduct", 4},
		"unknown key":       {"    - {from: beam, to: frame, kind: pin, ohms: 5}\n", `"ohm"`, 4},
		"too many":          {strings.Repeat("    - {from: beam, to: frame, kind: pin}\n", job.MaxContacts+1), "at most 60", 0},
	} {
		_, err := job.Read("j.yaml", []byte("part: beam\nmachine:\n  contacts:\n"+c.contacts))
		var f *job.Fault
		if !errors.As(err, &f) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %v, want a fault that says %q", name, err, c.says)
			continue
		}
		if c.line > 0 && f.Line != c.line {
			t.Errorf("%s: line %d, want %d (%v)", name, f.Line, c.line, err)
		}
	}
}
