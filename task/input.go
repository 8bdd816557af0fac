package task

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// Limits of what is taken in: far beyond any job.
const (
	MaxInput    = 1 << 20 // bytes
	MaxResult   = 4 << 20 // bytes
	MaxReadings = 40
	maxName     = 120
	maxItem     = 64
)

// Input is all that an answer depends on.
type Input struct {
	Version  int       `json:"version"`
	Kind     string    `json:"kind"`
	Job      string    `json:"job"`            // job file
	Shop     string    `json:"shop,omitempty"` // shop file
	Units    job.Units `json:"units"`
	Level    string    `json:"level"`
	Item     int       `json:"item"` // number of the place in the job file, from 1
	Readings []Reading `json:"readings,omitempty"`

	// Plan and Place are the book's ids of what this is for; they come back in
	// the result and change nothing in the answer.
	Plan  string `json:"plan,omitempty"`
	Place string `json:"place,omitempty"`
}

// Reading is what was read while the torch burnt.
type Reading struct {
	Time q.Time        `json:"time"` // since the torch was lit, s
	T    q.Temperature `json:"t"`    // °C
	At   q.Length      `json:"at"`   // from the groove edge, m
	Far  bool          `json:"far,omitempty"`
	Ref  string        `json:"ref,omitempty"` // its entry in the book
}

// Encode gives the input as text, always the same for the same input.
func (in Input) Encode() ([]byte, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	data, err := encode(in)
	if err != nil {
		return nil, err
	}
	if len(data) > MaxInput {
		return nil, fmt.Errorf("this task has %d bytes; up to %d are accepted", len(data), MaxInput)
	}
	return data, nil
}

// Sum names the input: two inputs with one sum ask the same.
func (in Input) Sum() string {
	data, err := encode(in)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// ReadInput reads what Encode has written.
func ReadInput(data []byte) (Input, error) {
	var in Input
	if len(data) > MaxInput {
		return in, fmt.Errorf("this task has %d bytes; up to %d are accepted", len(data), MaxInput)
	}
	if err := strict(data, &in); err != nil {
		return Input{}, fmt.Errorf("this is no task: %w", err)
	}
	if err := in.check(); err != nil {
		return Input{}, err
	}
	return in, nil
}

func (in Input) check() error {
	switch {
	case in.Version != Version:
		return fmt.Errorf("a task of version %d is not known here; version %d is", in.Version, Version)
	case in.Kind != Heat:
		return fmt.Errorf("a task of the kind %.40q is not known here; %q is", in.Kind, Heat)
	case in.Job == "":
		return fmt.Errorf("the task has no job")
	case in.Units != job.US && in.Units != job.SI:
		return fmt.Errorf("units %.20q: us or si is accepted", string(in.Units))
	case in.Item < 1 || in.Item > maxItem:
		return fmt.Errorf("place %d: 1 to %d is accepted", in.Item, maxItem)
	case len(in.Plan) > maxName || len(in.Place) > maxName:
		return fmt.Errorf("the id of plan or place is too long")
	}
	return checkAsked(in.Level, in.Readings)
}

// checkAsked holds what the result repeats to its limits.
func checkAsked(level string, readings []Reading) error {
	if _, ok := levels[level]; !ok {
		return fmt.Errorf("level %.20q: %s or %s is accepted", level, Coarse, Working)
	}
	if len(readings) > MaxReadings {
		return fmt.Errorf("%d readings; up to %d are accepted", len(readings), MaxReadings)
	}
	for i, r := range readings {
		if err := r.Check(); err != nil {
			return fmt.Errorf("reading %d: %w", i+1, err)
		}
	}
	return nil
}

// Check holds a reading to the limits of plan.ReadHeat.
func (r Reading) Check() error {
	switch {
	case !(r.Time >= 10 && r.Time <= 12*3600):
		return fmt.Errorf("it is taken 10 s to 12 h after the torch is lit")
	case !(r.T >= -60 && r.T <= 700):
		return fmt.Errorf("-60 to 700 °C is accepted")
	case !(r.At >= 0 && r.At <= 0.5):
		return fmt.Errorf("it is taken up to 500 mm from the groove edge")
	case len(r.Ref) > maxName:
		return fmt.Errorf("its id is too long")
	}
	return nil
}

// encode gives compact JSON without escaping that JSON does not ask for.
func encode(v any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, fmt.Errorf("a value that cannot be written: %w", err)
	}
	return bytes.TrimSuffix(out.Bytes(), []byte("\n")), nil
}

// strict reads one JSON value with known fields only and nothing behind it.
func strict(data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return fmt.Errorf("something stands behind it")
	}
	return nil
}

func finite(all ...float64) bool {
	for _, v := range all {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
