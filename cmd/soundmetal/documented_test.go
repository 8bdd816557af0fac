package main

import (
	"os"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

// docs/commands.md has a section for every command, and names each of its flags there.
func TestCommandsAreDocumented(t *testing.T) {
	data, err := os.ReadFile("../../docs/commands.md")
	if err != nil {
		t.Fatal(err)
	}
	parser, err := kong.New(&commands{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range parser.Model.Children {
		_, section, ok := strings.Cut(string(data), "\n## "+c.Name+"\n")
		if !ok {
			t.Errorf("docs/commands.md has no section %q", "## "+c.Name)
			continue
		}
		section, _, _ = strings.Cut(section, "\n## ")
		for _, f := range c.Flags {
			if f.Name != "help" && !strings.Contains(section, "--"+f.Name) {
				t.Errorf("docs/commands.md does not name --%s of %s", f.Name, c.Name)
			}
		}
	}
}
