package price

import (
	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
)

// EngineOf gives what an engine burns while welding, gouging and idling. A
// current of zero is a job without it. Mains burn nothing.
func EngineOf(fuel job.Fuel, weldVolts q.Voltage, weldAmps q.Current, gougeVolts q.Voltage, gougeAmps q.Current) (Engine, error) {
	var e Engine
	if fuel == "mains" || fuel == "" {
		return e, nil
	}
	for _, l := range []struct {
		at *Range[q.Flow]
		v  q.Voltage
		i  q.Current
	}{{&e.Weld, weldVolts, weldAmps}, {&e.Gouge, gougeVolts, gougeAmps}, {&e.Idle, 0, 0}} {
		r, err := power.EngineFuel(l.v, l.i, fuel)
		if err != nil {
			return Engine{}, err
		}
		*l.at = Range[q.Flow]{r.Value.Range.Low, r.Value.Likely, r.Value.Range.High}
	}
	return e, nil
}
