package task

import (
	"bytes"
	"compress/gzip"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"

	"soundmetal/plan"
	q "soundmetal/quantity"
)

// Result is the answer of a task.
type Result struct {
	Version  int                 `json:"version"`
	Kind     string              `json:"kind"`
	Input    string              `json:"input"` // Sum of the input it answers
	Plan     string              `json:"plan,omitempty"`
	Place    string              `json:"place,omitempty"`
	Item     int                 `json:"item"`
	Level    string              `json:"level"`
	Readings []Reading           `json:"readings,omitempty"`
	Answer   *plan.ThermalAnswer `json:"answer"`
}

// Thermal is the place that was asked for.
func (r *Result) Thermal() *plan.ThermalItem { return &r.Answer.Items[0] }

// Encode gives the result as text.
func (r Result) Encode() ([]byte, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	data, err := encode(r)
	if err == nil && len(data) > MaxResult {
		err = fmt.Errorf("this result has %d bytes; up to %d are accepted", len(data), MaxResult)
	}
	if err != nil {
		return nil, err
	}
	return data, nil
}

// ReadResult reads a result that came from outside: fields that are not known, a
// figure that cannot be and a list without end are refused.
func ReadResult(data []byte) (*Result, error) {
	r := new(Result)
	if len(data) > MaxResult {
		return nil, fmt.Errorf("this result has %d bytes; up to %d are accepted", len(data), MaxResult)
	}
	if err := strict(data, r); err != nil {
		return nil, fmt.Errorf("this is no result: %w", err)
	}
	return r, r.check()
}

// Pack gives a result as it is kept: gzipped.
func (r *Result) Pack() ([]byte, error) {
	data, err := r.Encode()
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if _, err := z.Write(data); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// Unpack reads a kept result. A newer build may have written fields that are not
// known here: they are passed over.
func Unpack(blob []byte) (*Result, error) {
	z, err := gzip.NewReader(bytes.NewReader(blob))
	if err != nil {
		return nil, fmt.Errorf("not a kept result: %w", err)
	}
	data, err := io.ReadAll(io.LimitReader(z, MaxResult+1))
	if err != nil {
		return nil, fmt.Errorf("not a kept result: %w", err)
	}
	if len(data) > MaxResult {
		return nil, fmt.Errorf("a kept result of more than %d bytes is not read", MaxResult)
	}
	r := new(Result)
	if err := json.Unmarshal(data, r); err != nil {
		return nil, fmt.Errorf("not a kept result: %w", err)
	}
	return r, r.check()
}

// Limits of an answer: far beyond what a place comes to.
const (
	maxSections = 20
	maxLines    = 200
	maxBeads    = 2000
	maxSeries   = 12
	maxPoints   = 4000
	maxLine     = 4000           // bytes of a text
	longest     = 60 * 24 * 3600 // s
)

func (r *Result) check() error {
	switch {
	case r.Version != Version:
		return fmt.Errorf("a result of version %d is not known here; version %d is", r.Version, Version)
	case r.Kind != Heat:
		return fmt.Errorf("a result of the kind %.40q is not known here; %q is", r.Kind, Heat)
	case r.Answer == nil || len(r.Answer.Items) != 1:
		return fmt.Errorf("the result must have the answer for one place")
	case r.Item < 1 || r.Item > maxItem || r.Answer.Items[0].Number != r.Item:
		return fmt.Errorf("the answer is not of the place that was asked for")
	case len(r.Plan) > maxName || len(r.Place) > maxName:
		return fmt.Errorf("the id of plan or place is too long")
	}
	if sum, err := hex.DecodeString(r.Input); err != nil || len(sum) != 32 {
		return fmt.Errorf("the result does not say of which input it is")
	}
	if err := checkAsked(r.Level, r.Readings); err != nil {
		return err
	}
	return checkItem(&r.Answer.Items[0])
}

var errAnswer = fmt.Errorf("the answer holds what no simulation gives: a figure that cannot be, or a list without end")

func checkItem(it *plan.ThermalItem) error {
	if len(it.Sections) > maxSections || len(it.Beads) > maxBeads || len(it.Name) > maxLine {
		return errAnswer
	}
	for _, s := range it.Sections {
		if len(s.Lines) > maxLines || len(s.Title) > maxLine || len(s.ID) > maxName {
			return errAnswer
		}
		for _, l := range s.Lines {
			if len(l.Text) > maxLine || l.Figure != nil && (len(l.Figure.Text) > maxLine || len(l.Figure.ID) > maxName) {
				return errAnswer
			}
		}
	}
	for _, b := range it.Beads {
		if !isTime(b.Start) || !isTime(b.Waited) || !isTime(b.Reheated) || !isHeat(b.Coldest) || !isHeat(b.Hottest) {
			return errAnswer
		}
	}
	if it.Chart == nil {
		return nil
	}
	return checkChart(it.Chart)
}

func checkChart(c *plan.ThermalChart) error {
	if len(c.Series) > maxSeries || len(c.Faces) > maxSeries || len(c.Beads) > maxBeads || !isHeat(c.Floor) || c.Ceiling != nil && !isHeat(*c.Ceiling) {
		return errAnswer
	}
	for _, s := range c.Series {
		if len(s.Points) > maxPoints || len(s.Name) > maxLine {
			return errAnswer
		}
		for _, p := range s.Points {
			if !isTime(p.At) || !isHeat(p.T) {
				return errAnswer
			}
		}
	}
	for _, f := range c.Faces {
		if len(f.Points) > maxPoints || !finite(float64(f.From)) {
			return errAnswer
		}
		last := q.Time(0)
		for _, p := range f.Points {
			if !isTime(p.At) || p.At < last || !isHeat(p.Low) || !isHeat(p.High) || p.High < p.Low {
				return errAnswer
			}
			last = p.At
		}
	}
	for _, b := range c.Beads {
		if !isTime(b.At) || len(b.Label) > maxName {
			return errAnswer
		}
	}
	return nil
}

func isTime(t q.Time) bool { return t >= 0 && t <= longest }

func isHeat(t q.Temperature) bool { return t >= -100 && t <= 5000 }
