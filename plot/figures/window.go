package figures

import (
	"fmt"

	"flicktally/plot"
	"flicktally/sim"
	"flicktally/sim/fit"
)

const windowNote = "Measured at the bench; other cameras, and this one at another temperature or supply, may differ."

// Window draws the trials of one threshold and the response that they show. It
// returns an error if the trials do not give its range.
func Window(w fit.Window, name fit.ThresholdName, look plot.Look) (*plot.Chart, error) {
	set, err := windowCurves(w, name)
	if err != nil {
		return nil, err
	}
	look.Notes = []string{windowNote}
	return plot.Curves(set, look)
}

// windowCurves lays out one threshold: the trials within a factor of three of it,
// the response that they show, and its range.
func windowCurves(w fit.Window, name fit.ThresholdName) (plot.CurveSet, error) {
	threshold, answer := w.MinPress, "the camera does something"
	if name == fit.NameLongPress {
		threshold, answer = w.LongPress, "a press that does something is long"
	}
	if _, err := threshold.ForRig(); err != nil {
		return plot.CurveSet{}, fmt.Errorf("cannot draw %s: %w", name, err)
	}
	trials := plot.Curve{Name: "trials", Parts: plot.Points}
	low, high := threshold.Range.Low, threshold.Range.High
	for _, t := range w.Trials {
		if t.Hold < threshold.Best/3 || t.Hold > 3*threshold.Best || name == fit.NameLongPress && t.Outcome == fit.Nothing {
			continue
		}
		y := 0.0
		if name.Reached(t.Outcome) {
			y = 1
		}
		trials.Add(float64(t.Hold), y)
		low, high = min(low, t.Hold), max(high, t.Hold)
	}
	room := (high - low) / 10
	low, high = max(0, low-room), high+room
	set := plot.CurveSet{
		Title:    fmt.Sprintf("%s: %s", name, threshold.RangeText()),
		Subtitle: w.Evidence(threshold),
		X:        plot.Axis{Label: "hold", Scale: plot.HoldScale, Min: float64(low), Max: float64(high)},
		Y:        plot.Axis{Label: "chance that " + answer, Scale: plot.PercentScale, Min: -0.05, Max: 1.05},
		Markers:  []plot.Marker{thresholdMarker(string(name), threshold.Range)},
	}
	set.Curves = []plot.Curve{responseCurve(threshold, w.Options.Confidence, low, high)}
	if threshold.Curve != nil {
		set.Curves = append(set.Curves, likelihoodCurve(w.Options.Shape, threshold.Curve, low, high))
	}
	set.Curves = append(set.Curves, trials)
	return set, nil
}

// holdsBetween returns the holds at which a curve is computed.
func holdsBetween(low, high sim.Micros) []sim.Micros {
	const pieces = 300
	all := make([]sim.Micros, pieces+1)
	for i := range all {
		all[i] = low + (high-low)*sim.Micros(i)/pieces
	}
	return all
}

// responseCurve is the response that the trials show, with its pointwise band.
func responseCurve(t fit.Threshold, confidence float64, low, high sim.Micros) plot.Curve {
	c := plot.Curve{Name: fmt.Sprintf("response from the trials, with its %g %% band", 100*confidence), Parts: plot.Line | plot.Band}
	for _, hold := range holdsBetween(low, high) {
		chance, band := t.ResponseAt(hold, confidence)
		c.Values = append(c.Values, plot.Value{X: float64(hold), Y: chance, Low: band.Low, High: band.High})
	}
	return c
}

// likelihoodCurve is the response of maximum likelihood.
func likelihoodCurve(shape fit.Shape, response *fit.Curve, low, high sim.Micros) plot.Curve {
	c := plot.Curve{Name: fmt.Sprintf("maximum likelihood, %s", shape), Parts: plot.Line}
	for _, hold := range holdsBetween(low, high) {
		c.Add(float64(hold), response.Response(hold.Seconds()))
	}
	return c
}
