package strength

import (
	"encoding/json"
	"fmt"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

func TestDump(t *testing.T) {
	m := job.Machine{Kind: "tipper truck", HoursPerWeek: q.Known(45 * q.Hour), LiftsPeople: job.No, HangsLoad: job.No}
	it := job.Item{Shape: job.Box, Thickness: q.Known(9.525 * mm), Width: q.Known(127 * mm), Depth: q.Known(178 * mm),
		Crack:   job.Crack{Length: q.Known(40 * mm), Through: job.Yes, Ends: "both", Starts: "plate-end"},
		Access:  job.OneSide,
		History: job.History{Welded: job.Yes, By: "other", Times: q.Known(1.0), Held: q.Known(700 * q.Hour), PlateOver: job.Yes, PlateEnds: "square", Mirror: job.Yes},
		Cause:   job.CauseEvidence{BeachMarks: job.Yes, CyclesPerHour: q.Known(3.0)}}
	h, err := Hold(HoldInput{Machine: m, Item: it, Stock: q.US, PlateOver: true})
	if err != nil {
		t.Fatal(err)
	}
	show(h)
	screen := job.Machine{Kind: "vibrating screen", Hours: q.Known(14200 * q.Hour), HoursPerWeek: q.Known(50 * q.Hour), LiftsPeople: job.No, HangsLoad: job.No}
	side := job.Item{Shape: job.Plate, Thickness: q.Known(25.4 * mm), Width: q.Known(1524 * mm), Crack: job.Crack{Length: q.Known(228 * mm), Through: job.Yes, Ends: "both", Starts: "weld-toe", Branched: job.No},
		Access: job.BothSides, History: job.History{Welded: job.No}, Cause: job.CauseEvidence{BeachMarks: job.Yes, RustInCrack: job.Yes, CyclesPerHour: q.Known(54000.0)}}
	h, err = Hold(HoldInput{Machine: screen, Item: side, Yield: 248 * mpas, Tensile: 400 * mpas})
	if err != nil {
		t.Fatal(err)
	}
	show(h)
	dig := job.Machine{Kind: "excavator", Hours: q.Known(8000 * q.Hour), HoursPerWeek: q.Known(50 * q.Hour), LiftsPeople: job.No, HangsLoad: job.No}
	stick := job.Item{Shape: job.Box, Thickness: q.Known(16 * mm), Width: q.Known(300 * mm), Depth: q.Known(400 * mm), Crack: job.Crack{Length: q.Known(40 * mm), Through: job.Yes, Ends: "both", Starts: "base"},
		Access: job.OneSide, History: job.History{Welded: job.No}}
	h, err = Hold(HoldInput{Machine: dig, Item: stick, Yield: 355 * mpas, Tensile: 490 * mpas, T27J: q.Known(q.Temperature(0)), PlateOver: true})
	if err != nil {
		t.Fatal(err)
	}
	show(h)
}

func show(h Holding) {
	for _, c := range h.Causes.Value {
		fmt.Printf("  %-40s %.2f\n", c.Title, c.Weight)
	}
	if h.Load != nil {
		fmt.Printf("LOAD %s..%s med %s rate %.0f had %.0f n %v plaus %v\n", h.Load.Value.Range.Low.Text(q.SI), h.Load.Value.Range.High.Text(q.SI), h.Load.Value.Median.Text(q.SI), float64(h.Load.Value.Rate), h.Load.Value.had, len(h.Load.Value.models), h.Load.Value.Plausible)
		for _, n := range h.Load.Basis.Notes {
			fmt.Println("    -", n)
		}
	}
	if h.Repairs != nil {
		for _, o := range h.Repairs.Value {
			fmt.Printf("  %-60s %8.0f %8.0f %8.0f  x%.2f  %v worse %v %s | %s\n", o.Title, o.Life.Median.Hours(), o.Life.Risk5.Hours(), o.Life.Risk1.Hours(), o.Life.Times, o.Possible, o.Worse, o.Governs, o.WhyNot)
		}
	}
	if h.Plate != nil {
		p := h.Plate.Value
		fmt.Printf("PLATE %.1f x %.0f x %.0f nose %.0f taper %.0f leg %.1f (%.1f..%.1f) end at %.0f limit %.2f share %.2f worse %v ground %v force %.0f\n", p.Thickness.MM(), p.Width.MM(), p.Length.MM(), p.Nose.MM(), p.Taper.MM(), p.Leg.MM(), p.LeastLeg.MM(), p.MostLeg.MM(), p.EndAt.MM(), float64(p.EndLimit), float64(p.EndShare), p.Worse, p.EndGround, float64(p.Force))
	}
	for _, f := range []*FridayAnswer{ptr(h.Friday), hid(h.Hidden)} {
		if f == nil {
			continue
		}
		b, _ := json.Marshal(f)
		fmt.Println("FRIDAY", string(b))
	}
	if h.Look != nil {
		l := h.Look.Value
		fmt.Printf("LOOK find %.1f crit %.1f interval %.0f..%.0f blind %v\n", l.Findable.MM(), l.Critical.MM(), l.Interval.Low.Hours(), l.Interval.High.Hours(), l.Blind)
		for _, x := range l.Looks {
			fmt.Println("   ", x.After.Hours(), x.Text)
		}
	}
	if h.Restraint != nil {
		fmt.Println("RESTRAINT", h.Restraint.Value.Class)
	}
	for _, a := range h.Assumed {
		fmt.Println("  assumed:", a)
	}
	for _, a := range h.Missing {
		fmt.Println("  missing:", a)
	}
}

func ptr(r *source.Result[FridayAnswer]) *FridayAnswer {
	if r == nil {
		return nil
	}
	return &r.Value
}

func hid(r *source.Result[HiddenAnswer]) *FridayAnswer {
	if r == nil {
		return nil
	}
	return &r.Value.Temporary
}
