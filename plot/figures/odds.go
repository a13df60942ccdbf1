package figures

import (
	"flicktally/plot"
	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/odds"
	"flicktally/sim/text"
)

// Odds draws the chances of a flick's outcomes over the intended hold.
func Odds(o *odds.Report, look plot.Look) (*plot.Chart, error) {
	look.Notes = text.OddsNotes(o)
	return plot.Curves(oddsCurves(o), look)
}

func oddsCurves(o *odds.Report) plot.CurveSet {
	set := plot.CurveSet{
		Title: named(o.Case.Rig, "odds of a flick"),
		X:     plot.Axis{Label: "intended hold", Scale: plot.HoldScale, Max: float64(o.Study.Curve[len(o.Study.Curve)-1].Hold)},
		Y:     plot.Axis{Label: "chance", Scale: plot.PercentScale, Min: -0.02, Max: 1.05}, // keeps points at 100 % off the names above
	}
	set.Subtitle = oddsSubtitle(o)
	for _, outcome := range odds.Outcomes {
		if curve, drawn := oddsCurve(o, outcome); drawn {
			set.Curves = append(set.Curves, curve)
		}
	}
	if len(o.Check) > 0 {
		set.Curves = append(set.Curves, oddsCheckPoints(o))
	}
	set.Markers = oddsMarkers(o)
	set.Zones = lanes.ZonesOf(o.Case.Rig.Camera)
	return set
}

func oddsSubtitle(o *odds.Report) string {
	if !o.Case.HoldMatters() {
		return "any hold: each move of the switch toggles by itself"
	}
	band := text.SafeBand(o)
	if o.Study.Band == nil {
		band = text.NoSafeBand(o)
	}
	return "aim for " + o.Study.Aim.Hold.Rounded() + "; " + band
}

// oddsLooks are the looks of the outcomes in every chart.
var oddsLooks = map[odds.Outcome]lanes.Look{
	odds.Toggles: lanes.Toggled, odds.Missed: lanes.Unseen, odds.Short: lanes.Short, odds.Long: lanes.Long, odds.Twice: lanes.Several,
}

// oddsCurve returns the chance of an outcome, with two standard errors on either
// side where it was simulated. It is not drawn if the outcome hardly occurs.
func oddsCurve(o *odds.Report, outcome odds.Outcome) (curve plot.Curve, drawn bool) {
	c := plot.Curve{Name: text.OutcomeTitle(outcome), Look: oddsLooks[outcome], Parts: plot.Line}
	most := 0.0
	for _, at := range o.Study.Curve {
		c.Values = append(c.Values, oddsValue(at, outcome))
		most = max(most, at.Chances[outcome])
		if at.Simulated > 0 {
			c.Parts |= plot.Band
		}
	}
	const hardly = 0.002
	return c, most > hardly || outcome == odds.Toggles
}

// oddsCheckPoints shows the simulation that checks the formula.
func oddsCheckPoints(o *odds.Report) plot.Curve {
	c := plot.Curve{Name: "toggles, simulated", Look: lanes.Toggled, Parts: plot.Points}
	for _, at := range o.Check {
		c.Values = append(c.Values, oddsValue(at, odds.Toggles))
	}
	return c
}

func oddsValue(at odds.At, outcome odds.Outcome) plot.Value {
	chance, either := at.Chances[outcome], 2*at.StandardError(outcome)
	return plot.Value{X: float64(at.Hold), Y: chance, Low: max(0, chance-either), High: min(1, chance+either)}
}

// oddsMarkers mark the holds that matter, the press window and the safe band. If
// there is no room for all names, the first take precedence. The safe band has no
// name of its own; the aim in it names it.
func oddsMarkers(o *odds.Report) []plot.Marker {
	var all []plot.Marker
	if o.Hold > 0 {
		all = append(all, plot.Marker{Name: "yours", X: float64(o.Hold)})
	}
	band := o.Study.Band
	if o.Case.HoldMatters() {
		aim := "aim"
		if band != nil {
			aim = "aim, safe band around it"
		}
		all = append(all, plot.Marker{Name: aim, X: float64(o.Study.Aim.Hold)})
	}
	camera := o.Case.Rig.Camera
	all = append(all, thresholdMarker("min_press", camera.MinPress), thresholdMarker("long_press", camera.LongPress))
	if band != nil && o.Case.HoldMatters() {
		all = append(all, plot.Marker{X: float64(band.Low), To: float64(band.High), Look: lanes.Toggled})
	}
	return all
}

// thresholdMarker marks a threshold: a line, or the area of its range.
func thresholdMarker(name string, i sim.Interval) plot.Marker {
	if !i.Exact() {
		name = "range of " + name
	}
	return plot.Marker{Name: name, X: float64(i.Low), To: float64(i.High), Look: lanes.Unknown}
}
