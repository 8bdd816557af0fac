package docs

import (
	"fmt"
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// rows gives the cells of the table between <!-- NAME: ... --> and <!-- end NAME -->.
func rows(t *testing.T, page, name string) [][]string {
	t.Helper()
	_, rest, ok := strings.Cut(page, "<!-- "+name+": every row is tested -->\n")
	table, _, end := strings.Cut(rest, "<!-- end "+name+" -->")
	if !ok || !end {
		t.Fatalf("no table %q", name)
	}
	var all [][]string
	for _, l := range strings.Split(strings.TrimSpace(table), "\n")[2:] {
		var cells []string
		for _, c := range strings.Split(strings.Trim(l, "|"), "|") {
			cells = append(cells, strings.Trim(strings.TrimSpace(c), "`"))
		}
		all = append(all, cells)
	}
	if len(all) < 3 {
		t.Fatalf("table %q has %d rows", name, len(all))
	}
	return all
}

// thickness reads a text as the thickness of a job.
func thickness(units, text string) (q.Length, error) {
	head := "part: beam\n"
	if units != "none" {
		head += "units: " + units + "\n"
	}
	j, err := job.Read("job.yaml", []byte(head+"thickness: "+text+"\n"))
	if err != nil {
		return 0, err
	}
	return j.Items[0].Thickness.V, nil
}

func TestFormsAsDocumented(t *testing.T) {
	page := read(t, "job-format.md")
	for _, r := range rows(t, page, "forms") {
		l, err := thickness(r[1], r[0])
		if err != nil {
			t.Errorf("%s: %v", r[0], err)
			continue
		}
		sys := q.SI
		if r[1] == "us" {
			sys = q.US
		}
		if r[1] == "none" {
			sys = q.SI
		}
		if got := l.Text(sys); got != r[2] {
			t.Errorf("%s with units %s is read as %s, the page says %s", r[0], r[1], got, r[2])
		}
	}
	for _, r := range rows(t, page, "asked") {
		_, err := thickness(r[1], r[0])
		if err == nil {
			t.Errorf("%s with units %s is not asked", r[0], r[1])
			continue
		}
		for _, reading := range strings.Split(r[3], ", ") {
			if !strings.Contains(err.Error(), reading) {
				t.Errorf("%s: %q does not offer %q", r[0], err, reading)
			}
		}
	}
	for _, line := range strings.Split(page, "\n") {
		if strings.HasPrefix(line, "job.yaml:3:12: ") {
			_, err := job.Read("job.yaml", []byte("units: us\npart: beam\nthickness: 12 mil\n"))
			if err == nil || err.Error() != line {
				t.Errorf("the fault is %q, the page says %q", err, line)
			}
		}
	}
}

// A field of each quantity that has bare numbers, and the value it must be in
// the unit that the page names.
func TestBareNumbersAsDocumented(t *testing.T) {
	fields := map[string]string{
		"length": "part: beam\nthickness: %s\n", "temperature": "part: beam\nsite: {air: %s}\n", "wind": "part: beam\nsite: {wind: %s}\n",
		"mass": "rods: [{class: E7018, size: 3.2 mm, mass: %s}]\n", "pressure": "air: {pressure: %s}\n", "flow": "air: {flow: %s}\n",
		"stress": "part: beam\nsteel: {yield: %s}\n",
	}
	bare := func(name, units, value string) (string, error) {
		text := "units: " + units + "\n" + fmt.Sprintf(fields[name], value)
		if strings.HasPrefix(fields[name], "part") {
			j, err := job.Read("j", []byte(text))
			return fmt.Sprint(j.Items, j.Site), err
		}
		s, err := job.ReadShop("s", []byte(text))
		return fmt.Sprint(s.Rods, s.Air), err
	}
	for _, r := range rows(t, read(t, "job-format.md"), "bare numbers") {
		for i, units := range []string{"us", "si"} {
			got, err := bare(r[0], units, "4")
			if err != nil {
				t.Errorf("%s %s: %v", r[0], units, err)
				continue
			}
			want, err := bare(r[0], units, "4 "+r[1+i])
			if err != nil || got != want {
				t.Errorf("%s: a bare 4 with units %s is not 4 %s (%v)", r[0], units, r[1+i], err)
			}
		}
	}
}

// The limits of the page are those of the reader.
func TestLimitsAsDocumented(t *testing.T) {
	page := read(t, "job-format.md")
	for _, s := range []string{"1,048,576 bytes", fmt.Sprintf("at most %d damaged places", job.MaxItems), fmt.Sprintf("Version %d.", job.Version)} {
		if !strings.Contains(page, s) {
			t.Errorf("the page does not say %q", s)
		}
	}
	if job.MaxSize != 1048576 {
		t.Error("the page says 1,048,576 bytes")
	}
}
