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
func oddsCurve(o *odds.Report, outcome odds.Outcome) (plot.Curve, bool) {
	c := plot.Curve{Name: text.OutcomeTitle(outcome), Look: oddsLooks[outcome]}
	most := 0.0
	for _, at := range o.Study.Curve {
		x, p, se := float64(at.Hold), at.Chances[outcome], at.StandardError(outcome)
		most = max(most, p)
		c.Line = append(c.Line, plot.Point{X: x, Y: p})
		if at.Simulated > 0 {
			c.Band = append(c.Band, plot.Spread{X: x, Low: max(0, p-2*se), High: min(1, p+2*se)})
		}
	}
	const hardly = 0.002
	return c, most > hardly || outcome == odds.Toggles
}

// oddsCheckPoints shows the simulation that checks the formula.
func oddsCheckPoints(o *odds.Report) plot.Curve {
	c := plot.Curve{Name: "toggles, simulated", Look: lanes.Toggled}
	for _, at := range o.Check {
		p, se := at.Chances[odds.Toggles], at.StandardError(odds.Toggles)
		c.Points = append(c.Points, plot.Measured{X: float64(at.Hold), Y: p, Low: max(0, p-2*se), High: min(1, p+2*se)})
	}
	return c
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
