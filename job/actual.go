package job

import (
	"fmt"

	q "soundmetal/quantity"
)

// Actuals are finished jobs, used against planned, in a file of their own.
type Actuals struct {
	Version int    `yaml:"version" doc:"format version; 1"`
	Units   Units  `yaml:"units" doc:"system of the printout: us or si"`
	Jobs    []Done `yaml:"jobs" doc:"one entry for each finished job, in any order"`
}

// Done is one finished job. What was not written down is left out.
type Done struct {
	Name  string  `yaml:"job" doc:"name of the job, in your words"`
	File  string  `yaml:"file" doc:"its job file, beside this file or by its path: what was planned is worked out from it where it is left out"`
	Day   Day     `yaml:"day" doc:"day it was finished, 2026-05-04"`
	Rods  Counted `yaml:"rods" short:"used" doc:"rods of the whole job"`
	Bead  Timed   `yaml:"bead" short:"used" doc:"time for one bead, welding and what goes with it"`
	Gouge Timed   `yaml:"gouge" short:"used" doc:"time to gouge 100 mm (4 in) of one pass, all in"`
	Torch Timed   `yaml:"torch" short:"used" doc:"torch time from cold to the preheat, all places together"`
}

// Counted is a number planned and used.
type Counted struct {
	Planned q.Maybe[float64] `yaml:"planned" doc:"as the handbook has it: without your own factors"`
	Used    q.Maybe[float64] `yaml:"used" doc:"as it came out"`
}

// Timed is a time planned and used.
type Timed struct {
	Planned q.Maybe[q.Time] `yaml:"planned" sane:"1s..100h" doc:"as the handbook has it: without your own factors"`
	Used    q.Maybe[q.Time] `yaml:"used" sane:"1s..100h" doc:"as it came out"`
}

// MaxJobs is the number of finished jobs that one file may hold.
const MaxJobs = 1000

// ReadActuals reads the file of finished jobs. An error is a *Fault.
func ReadActuals(name string, data []byte) (Actuals, error) {
	var a Actuals
	r, err := readInto(name, data, &a)
	if err != nil {
		return a, err
	}
	if err := checkVersion(r, a.Version); err != nil {
		return a, err
	}
	a.Version = Version
	return a, r.checkActuals(a)
}

// checkActuals finds jobs that say nothing or cannot be.
func (r *reader) checkActuals(a Actuals) error {
	switch {
	case len(a.Jobs) == 0:
		return &Fault{File: r.file, Text: "no finished job: give at least one entry under jobs"}
	case len(a.Jobs) > MaxJobs:
		return r.fault("jobs", fmt.Sprintf("%d finished jobs; a file has at most %d: leave the oldest out", len(a.Jobs), MaxJobs))
	}
	for i, d := range a.Jobs {
		if err := r.checkDone(fmt.Sprintf("jobs[%d]", i), d); err != nil {
			return err
		}
	}
	return nil
}

func (r *reader) checkDone(at string, d Done) error {
	if _, ok := d.Day.Time(); !ok && d.Day != "" {
		return r.fault(at+".day", fmt.Sprintf("%q is not a day; write it as 2026-05-04", string(d.Day)))
	}
	any := false
	for _, p := range []struct {
		key           string
		planned, used q.Maybe[float64]
	}{{"rods", d.Rods.Planned, d.Rods.Used}, {"bead", plain(d.Bead.Planned), plain(d.Bead.Used)}, {"gouge", plain(d.Gouge.Planned), plain(d.Gouge.Used)}, {"torch", plain(d.Torch.Planned), plain(d.Torch.Used)}} {
		any = any || p.used.Known
		path := at + "." + p.key
		switch {
		case p.used.Known && p.used.V <= 0:
			return r.fault(path+".used", "nothing used: leave it out where it was not written down")
		case p.planned.Known && p.planned.V <= 0:
			return r.fault(path+".planned", "nothing planned: leave it out, and name the job's file")
		case p.planned.Known && !p.used.Known:
			return r.fault(path, "what was used is missing")
		case p.used.Known && !p.planned.Known && d.File == "":
			return r.fault(path, "what was planned is missing: give planned as well (the last section of `soundmetal price`), or the job's file")
		}
	}
	if !any {
		return r.fault(at, "nothing was written down: give at least one of rods, bead, gouge and torch")
	}
	return nil
}

func plain(t q.Maybe[q.Time]) q.Maybe[float64] {
	return q.Maybe[float64]{V: float64(t.V), Known: t.Known}
}
