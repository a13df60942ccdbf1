package plot

import (
	"time"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/season"
)

// SeasonDays lays out the chance of a toggle over the days of a season, in
// flight and in practice.
func SeasonDays(s *season.Season, look Look) (*Chart, error) {
	flown := Curve{Name: "in flight: chance of each day (95 %), drawn towards the season's", Look: lanes.Toggled}
	var days []float64
	for _, p := range s.Days {
		if p.Toggled.Trials == 0 {
			continue
		}
		x := dayAt(p.Name)
		days = append(days, x)
		flown.Line = append(flown.Line, Point{x, p.Pooled})
		flown.Band = append(flown.Band, Spread{x, p.Within.Low, p.Within.High})
		flown.Points = append(flown.Points, Measured{x, p.Pooled, p.Within.Low, p.Within.High})
	}
	set := CurveSet{
		Title: s.Verdict(), Subtitle: s.Title(),
		Y:      Axis{Label: "share of the flicks", Scale: PercentScale, Max: 1},
		Curves: []Curve{flown},
	}
	practised := Curve{Name: "in practice: share of each day (95 %)"}
	for _, p := range s.Practice {
		x, i := dayAt(p.Name), p.Toggled.Wilson(0.95)
		days = append(days, x)
		practised.Points = append(practised.Points, Measured{x, p.Toggled.Value(), i.Low, i.High})
	}
	if practised.Points != nil {
		set.Curves = append(set.Curves, practised)
	}
	set.X = dayAxis(days)
	return Curves(set, look)
}

// SeasonWindow lays out how the camera's thresholds were learned, outing by
// outing.
func SeasonWindow(s *season.Season, look Look) (*Chart, error) {
	least, longs := Curve{Name: "min_press (95 %)"}, Curve{Name: "long_press (95 %)"}
	add := func(c *Curve, x float64, r sim.Interval) {
		c.Line = append(c.Line, Point{x, float64(r.Low+r.High) / 2})
		c.Band = append(c.Band, Spread{x, float64(r.Low), float64(r.High)})
	}
	add(&least, 0, s.Rig.Camera.MinPress)
	add(&longs, 0, s.Rig.Camera.LongPress)
	for i, step := range s.Camera.Steps {
		add(&least, float64(i+1), step.MinPress)
		add(&longs, float64(i+1), step.LongPress)
	}
	return Curves(CurveSet{
		Title:    "min_press " + season.Range(s.Camera.MinPress) + ", long_press " + season.Range(s.Camera.LongPress),
		Subtitle: s.Title(),
		X:        Axis{Label: "outings of which something was seen", Scale: CountScale, Max: max(1, float64(len(s.Camera.Steps)))},
		Y:        Axis{Label: "hold", Scale: HoldScale, Max: 1.1 * float64(s.Rig.Camera.LongPress.High)},
		Curves:   []Curve{least, longs},
	}, look)
}

// dayAt returns the place of a day on a date axis.
func dayAt(name string) float64 {
	day, err := time.Parse(time.DateOnly, name)
	if err != nil {
		panic("internal error: " + err.Error()) // the season wrote it
	}
	return float64(day.Unix())
}

func dayAxis(days []float64) Axis {
	const room = 12 * 3600
	axis := Axis{Label: "day", Scale: DateScale}
	if len(days) == 0 {
		return axis
	}
	axis.Min, axis.Max = days[0], days[0]
	for _, d := range days {
		axis.Min, axis.Max = min(axis.Min, d), max(axis.Max, d)
	}
	axis.Min, axis.Max = axis.Min-room, axis.Max+room
	return axis
}
