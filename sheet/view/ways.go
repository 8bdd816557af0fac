package view

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"soundmetal/plan"
	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
	"soundmetal/sheet/sketch"
)

// Path fills the drawing of the current's way home with the clamp on one place.
func Path(c plan.Current, p plan.Path) sketch.Path {
	s := sketch.Path{Arc: c.Arc, Clamp: p.Clamp}
	spreadX, spreadY := filling(c.Bodies, func(b power.Body) float64 { return b.X }), filling(c.Bodies, func(b power.Body) float64 { return b.Y })
	for _, b := range c.Bodies {
		s.Bodies = append(s.Bodies, sketch.Body{ID: b.ID, Name: b.Name, X: spreadX(b.X), Y: spreadY(b.Y)})
	}
	for i, l := range c.Contacts {
		contact := sketch.Contact{A: l.From, B: l.To, Name: l.Name}
		if i < len(p.Through) {
			t := p.Through[i]
			contact.Share, contact.Flag = float64(t.Median/c.Amps), t.Flagged
			contact.Text = ampere(t)
		}
		s.Contacts = append(s.Contacts, contact)
	}
	return s
}

// filling stretches places so that they fill the drawing from edge to edge.
func filling(all []power.Body, of func(power.Body) float64) func(float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, b := range all {
		low, high = min(low, of(b)), max(high, of(b))
	}
	if high <= low {
		return func(float64) float64 { return 50 }
	}
	return func(v float64) float64 { return 100 * (v - low) / (high - low) }
}

// ampere is a current with its spread; nothing where it is not worth a figure.
func ampere(t plan.Through) string {
	const tiny q.Current = 0.5
	switch {
	case t.High < tiny:
		return ""
	case t.High <= 1.02*t.Low:
		return fmt.Sprintf("%.0f A", float64(t.Median))
	}
	return fmt.Sprintf("%.0f A (%.0f to %.0f)", float64(t.Median), float64(t.Low), float64(t.High))
}

// Ways draws the current's way home from each item, one place of the clamp below
// the other, so that they can be compared.
func Ways(all []plan.ItemCurrent, f sketch.Frame) (*draw.Drawing, error) {
	const gap, size = 6.0, 4.6
	d := &draw.Drawing{W: f.Width}
	y := 2.0
	for _, item := range all {
		for _, p := range item.Current.Compared {
			one := sketch.DrawPath(Path(item.Current, p), f)
			head := "Clamp on the " + p.Name
			if len(all) > 1 {
				head = item.Item + ": clamp on the " + p.Name
			}
			write := func(text string, size float64, bold bool) {
				for _, line := range broken(text, f.Width-8, size, bold) {
					y += size * font.Line
					d.Add(draw.Text{At: draw.At(4, y), S: line, Size: size, Bold: bold})
				}
			}
			write(head, size, true)
			write(p.Say, size*0.8, false)
			y += gap
			d.Add(draw.Place{D: one, At: draw.At(0, y)})
			y += one.H + gap
			d.Title = one.Title
			d.Desc = strings.TrimSpace(d.Desc + " " + head + ": " + p.Say + ". " + one.Desc)
		}
	}
	if d.Title == "" {
		return nil, errors.New("nothing to draw: the machine of this job is not drawn; say machine.like, or list where its parts touch under machine.contacts")
	}
	d.H = y
	return d, nil
}

// broken wraps a text to a width on the paper.
func broken(text string, width, size float64, bold bool) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(text) {
		next := strings.TrimSpace(line + " " + w)
		if line != "" && font.Width(next, bold)*size > width {
			lines, next = append(lines, line), w
		}
		line = next
	}
	return append(lines, line)
}
