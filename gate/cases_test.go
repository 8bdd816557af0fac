package gate

import (
	"os"
	"strings"
	"testing"

	"soundmetal/job"
)

// testCase is one small job of a testdata file.
type testCase struct {
	id     string // rule, question or step
	meets  bool
	class  string // of the item; "-" where it does not matter
	source string // of the expectation
	job    job.Job
	text   string
}

// name of a subtest: the rule and the part.
func (c testCase) name() string {
	return c.id + "/" + strings.NewReplacer("\n", "; ", "/", " ").Replace(strings.TrimSpace(c.text))
}

// readCases reads a testdata file: "== id | meets or not | class | source", then
// the job file.
func readCases(t *testing.T, file string) []testCase {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	_, text, ok := strings.Cut(string(data), "\n== ")
	if !ok {
		t.Fatalf("%s: no case", file)
	}
	var all []testCase
	for block := range strings.SplitSeq(text, "\n== ") {
		head, body, _ := strings.Cut(block, "\n")
		cells := strings.Split(head, " | ")
		if len(cells) != 4 || cells[3] == "" {
			t.Fatalf("%s: %q needs id, meets, class and source", file, head)
		}
		j, err := job.Read(file, []byte(body))
		if err != nil {
			t.Fatalf("%s: %s: %v", file, head, err)
		}
		if cells[1] != "not" && cells[1] != "meets" && cells[1] != "asks" {
			t.Fatalf("%s: %s: neither meets, asks nor not", file, head)
		}
		all = append(all, testCase{cells[0], cells[1] != "not", cells[2], cells[3], j, body})
	}
	return all
}

// bothWays fails where an id has no case that meets it, or none that does not.
func bothWays(t *testing.T, ids []string, cases []testCase, alwaysMet map[string]bool) {
	t.Helper()
	known := map[string]bool{}
	met, missed := map[string]int{}, map[string]int{}
	for _, c := range cases {
		if c.meets {
			met[c.id]++
		} else {
			missed[c.id]++
		}
	}
	for _, id := range ids {
		known[id] = true
		if met[id] == 0 {
			t.Errorf("%s: no case that meets it", id)
		}
		if missed[id] == 0 && !alwaysMet[id] {
			t.Errorf("%s: no case that does not meet it", id)
		}
	}
	for _, c := range cases {
		if !known[c.id] {
			t.Errorf("%s: no such id", c.id)
		}
	}
}
