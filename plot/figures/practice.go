package figures

import (
	"fmt"
	"time"

	"flicktally/plot"
	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
	"flicktally/trainer"
)

// practiceCurves lay out practice over time.
var practiceCurves = map[string]func([]trainer.Period) plot.CurveSet{
	"success": successCurves,
	"holds":   holdCurves,
	"mix":     mixCurves,
}

// HasPractice reports whether Practice draws such a chart.
func HasPractice(what string) bool { return practiceCurves[what] != nil }

// Practice draws practice over periods: "success", "holds" or "mix". who names
// rig and device. A period is a week if weekly, else a day.
func Practice(what, who string, periods []trainer.Period, weekly bool, look plot.Look) (*plot.Chart, error) {
	set := practiceCurves[what](periods)
	set.Title = who + ": " + set.Title
	set.X = dates(periods, weekly)
	return plot.Curves(set, look)
}

// PractisedHolds draws the holds of the presses in practice over the camera's
// press window.
func PractisedHolds(who string, camera sim.CameraSpec, flicks []trainer.Flick, drills int, look plot.Look) (*plot.Chart, error) {
	set := plot.HoldSet{Title: who + ": holds", Camera: camera}
	for _, flick := range flicks {
		for _, p := range flick.Presses {
			if p.Open() {
				continue
			}
			held := plot.Held{Hold: p.Hold(), Look: lanes.VerdictLook(p.Verdict)}
			if flick.Toggled() {
				held.Look = lanes.Toggled
			}
			set.Holds = append(set.Holds, held)
		}
	}
	set.Subtitle = fmt.Sprintf("presses: %d, in %s", len(set.Holds), tell.Counted(drills, "drill", "drills"))
	return plot.Holds(set, look)
}

// dates returns the axis of the periods, with a tick at each.
func dates(periods []trainer.Period, weekly bool) plot.Axis {
	var days []float64
	for _, p := range periods {
		days = append(days, dateOf(p))
	}
	axis := dateAxis("day", halfDay, days)
	if weekly {
		axis = dateAxis("week starting", 7*halfDay, days)
	}
	axis.At = days
	return axis
}

// dateOf returns a period's place on a date axis. The axis shows days in UTC, so
// this is the pilot's calendar day as one of UTC.
func dateOf(p trainer.Period) float64 {
	y, m, d := p.From.Date()
	return float64(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix())
}

func successCurves(periods []trainer.Period) plot.CurveSet {
	c := plot.Curve{Name: "toggled, with its 95 % interval (Wilson)", Look: lanes.Toggled, Parts: plot.Line | plot.Band | plot.Points}
	for _, p := range periods {
		if p.Toggled.Trials > 0 {
			i := p.Toggled.Wilson(trainer.Confidence)
			c.Values = append(c.Values, plot.Value{X: dateOf(p), Y: p.Toggled.Value(), Low: i.Low, High: i.High})
		}
	}
	return plot.CurveSet{
		Title:  "flicks that toggle",
		Y:      plot.Axis{Label: "share of the flicks", Scale: plot.PercentScale, Max: 1},
		Curves: []plot.Curve{c},
	}
}

func holdCurves(periods []trainer.Period) plot.CurveSet {
	mean := plot.Curve{Name: "mean hold, ± the spread", Parts: plot.Line | plot.Band | plot.Points}
	spread := plot.Curve{Name: "spread (standard deviation)", Parts: plot.Line | plot.Points}
	most := 0.0
	for _, p := range periods {
		if p.Holds.N < 2 {
			continue
		}
		x, m, sd := dateOf(p), p.Holds.Mean, p.Holds.SD
		mean.Values = append(mean.Values, plot.Value{X: x, Y: m, Low: m - sd, High: m + sd})
		spread.Add(x, sd)
		most = max(most, m+sd)
	}
	return plot.CurveSet{
		Title:  "holds, without slips",
		Y:      plot.Axis{Label: "hold", Scale: plot.HoldScale, Max: 1.2 * most},
		Curves: []plot.Curve{mean, spread},
	}
}

func mixCurves(periods []trainer.Period) plot.CurveSet {
	set := plot.CurveSet{Title: "what was practised", Y: plot.Axis{Label: "trials", Scale: plot.CountScale}}
	most := 0
	for _, k := range trainer.Kinds {
		c, total := plot.Curve{Name: k.Title(), Parts: plot.Line | plot.Points}, 0
		for _, p := range periods {
			c.Add(dateOf(p), float64(p.Mix[k]))
			total += p.Mix[k]
			most = max(most, p.Mix[k])
		}
		if total > 0 {
			set.Curves = append(set.Curves, c)
		}
	}
	set.Y.Max = 1.1 * float64(most)
	return set
}
