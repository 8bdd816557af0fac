package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"soundmetal/demo"
)

type demoCmd struct {
	Dir string `arg:"" optional:"" default:"soundmetal-demo" help:"Folder for the demo files."`
	Job string `help:"Demo job to plan: quarry-screen, blade-arm, tipper, fork or dumper." enum:"quarry-screen,blade-arm,tipper,fork,dumper" default:"quarry-screen"`
}

func (c *demoCmd) Run(to *console) error {
	if err := os.MkdirAll(c.Dir, 0o755); err != nil {
		return errBadInput{fmt.Errorf("cannot make the folder %s: %w; name another", c.Dir, err)}
	}
	names, err := fs.Glob(demo.Files, "*.yaml")
	if err != nil {
		return err
	}
	var missing []string
	for _, name := range names { // all are looked at before the first is written
		there, err := have(filepath.Join(c.Dir, name), name)
		if err != nil {
			return err
		}
		if !there {
			missing = append(missing, name)
		}
	}
	for _, name := range missing {
		data, err := demo.Files.ReadFile(name)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(c.Dir, name), data, 0o644); err != nil {
			return err
		}
		fmt.Fprintln(to.err, "wrote", filepath.Join(c.Dir, name))
	}
	p := planCmd{Job: filepath.Join(c.Dir, c.Job+".yaml")}
	return p.Run(to)
}

// have says whether a demo file is there already; one with other contents is kept.
func have(path, name string) (bool, error) {
	want, err := demo.Files.ReadFile(name)
	if err != nil {
		return false, err
	}
	old, err := os.ReadFile(path)
	switch {
	case err == nil && bytes.Equal(old, want):
		return true, nil
	case err == nil:
		return false, errBadInput{fmt.Errorf("%s is there with other contents and is kept; name another folder or move it away", path)}
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	}
	return false, errBadInput{err}
}
