package main

import (
	"fmt"
	"io"
	"math"

	"flicktally/plot"
	"flicktally/sim"
	"flicktally/sim/export"
	"flicktally/sim/fit"
)

// What calibrate shows of a press window: text, JSON, chart.

// rangeText tells the range of a threshold.
func rangeText(t fit.Threshold) string {
	switch {
	case t.Open() && t.Range.Low == 0:
		return "not known yet"
	case t.Open():
		return "more than " + t.Range.Low.String()
	case t.Range.Low == 0:
		return "at most " + t.Range.High.String()
	default:
		return t.Range.String()
	}
}

func (t *talk) printWindow(w fit.Window, width sim.Micros) {
	t.heading("press window from " + sim.Counted(len(w.Trials), "trial", "trials"))
	t.table(func(rows io.Writer) {
		fmt.Fprintln(rows, "threshold\trange\tmost likely\tfrom")
		fmt.Fprintf(rows, "%s\t%s\t%s\t%s\n", fit.NameMinPress, rangeText(w.MinPress), bestText(w.MinPress), evidence(w, w.MinPress))
		fmt.Fprintf(rows, "%s\t%s\t%s\t%s\n", fit.NameLongPress, rangeText(w.LongPress), bestText(w.LongPress), evidence(w, w.LongPress))
	})
	for _, threshold := range []fit.Threshold{w.MinPress, w.LongPress} {
		if odd := w.OddText(threshold); odd != "" {
			fmt.Fprintln(t.out, "  "+odd)
		}
	}
	if next, more := w.Next(width); more {
		fmt.Fprintf(t.out, "\nnext hold to try, for %s: %s (%s)\n", next.For, next.Hold.Rounded(), next.Why)
	}
	fmt.Fprintln(t.out)
	minPress, longPress, err := w.Ranges()
	if err != nil {
		fmt.Fprintf(t.out, "nothing for the rig file yet: %v\n", err)
		return
	}
	fmt.Fprintf(t.out, "a hold from %s to less than %s toggles, as far as these trials tell\n\n", minPress.High, longPress.Low)
	t.heading("for the rig file")
	fmt.Fprintf(t.out, "  [camera]\n  min_press = [%q, %q]\n  long_press = [%q, %q]\n", minPress.Low, minPress.High, longPress.Low, longPress.High)
}

func bestText(t fit.Threshold) string {
	if t.Best == sim.Never {
		return "-"
	}
	return t.Best.Rounded()
}

// evidence tells where a range comes from.
func evidence(w fit.Window, t fit.Threshold) string {
	percent := fmt.Sprintf("%g %%", 100*w.Options.Confidence)
	switch {
	case t.Open() && t.Range.Low == 0:
		return "no trial tells"
	case t.Proven:
		return "proven: no trial contradicts another"
	case t.Curve == nil:
		return percent + " by profile likelihood; outcomes meet at one hold"
	default:
		_, se := t.Curve.Threshold()
		text := fmt.Sprintf("%s by profile likelihood, %s curve; standard error %s, spread %s",
			percent, w.Options.Shape, inSeconds(se), inSeconds(t.Curve.Spread()))
		if at, se, ok := fit.SpearmanKarber(t.Curve.Doses()); ok {
			text += fmt.Sprintf("; without a curve (Spearman-Kärber) %s ± %s", inSeconds(at), inSeconds(se))
		}
		return text
	}
}

func inSeconds(s float64) string { return sim.Micros(math.Round(s * 1e6)).Rounded() }

type jsonWindow struct {
	Schema     int           `json:"schema"`
	Trials     int           `json:"trials"`
	Shape      fit.Shape     `json:"shape"`
	Confidence float64       `json:"confidence"`
	MinPress   jsonThreshold `json:"min_press"`
	LongPress  jsonThreshold `json:"long_press"`
	Next       *jsonNext     `json:"next,omitempty"`
}

type jsonThreshold struct {
	Low    sim.Micros  `json:"low_us"`
	High   *sim.Micros `json:"high_us,omitempty"` // absent where open
	Best   *sim.Micros `json:"best_us,omitempty"`
	Proven bool        `json:"proven"`
	Odd    []int       `json:"contradicting_trials"`
	Curve  *jsonCurve  `json:"curve,omitempty"`
}

// jsonCurve is the response curve over seconds of hold.
type jsonCurve struct {
	Intercept     float64       `json:"intercept"`
	Slope         float64       `json:"slope_per_s"`
	Covariance    [2][2]float64 `json:"covariance"`
	StandardError float64       `json:"threshold_se_s"`
	Fieller       [2]*float64   `json:"fieller_s"` // null where there is no end
	Deviance      float64       `json:"deviance"`
	Freedom       int           `json:"degrees_of_freedom"`
}

type jsonNext struct {
	For  fit.ThresholdName `json:"for"`
	Hold sim.Micros        `json:"hold_us"`
}

func (t *talk) printWindowJSON(w fit.Window, width sim.Micros) error {
	j := jsonWindow{
		Schema: export.Schema, Trials: len(w.Trials), Shape: w.Options.Shape, Confidence: w.Options.Confidence,
		MinPress: toJSONThreshold(w, w.MinPress), LongPress: toJSONThreshold(w, w.LongPress),
	}
	if next, more := w.Next(width); more {
		j.Next = &jsonNext{next.For, next.Hold}
	}
	return export.NewJSON(t.out).Encode(j)
}

func toJSONThreshold(w fit.Window, t fit.Threshold) jsonThreshold {
	j := jsonThreshold{Low: t.Range.Low, Proven: t.Proven, Odd: append([]int{}, t.Odd...)}
	if !t.Open() {
		j.High, j.Best = &t.Range.High, &t.Best
	}
	if c := t.Curve; c != nil {
		_, se := c.Threshold()
		fieller := c.Fieller(w.Options.Confidence)
		j.Curve = &jsonCurve{c.Intercept, c.Slope, c.Covariance, se, [2]*float64{finite(fieller.Low), finite(fieller.High)}, c.Deviance, c.DegreesOfFreedom}
	}
	return j
}

// finite returns nil for what JSON cannot write.
func finite(v float64) *float64 {
	if math.IsInf(v, 0) {
		return nil
	}
	return &v
}

const windowNote = "Measured at the bench; other cameras, and this one at another temperature or supply, may differ."

// windowCurves describes the chart of one threshold: the trials within a factor
// of three, what they say, the range.
func windowCurves(w fit.Window, name fit.ThresholdName) (plot.CurveSet, error) {
	threshold, reached, answer := w.MinPress, func(o fit.Outcome) bool { return o != fit.Nothing }, "the camera does something"
	if name == fit.NameLongPress {
		threshold, reached, answer = w.LongPress, func(o fit.Outcome) bool { return o == fit.Long }, "a press that does something is long"
	}
	if threshold.Open() {
		return plot.CurveSet{}, fmt.Errorf("cannot draw %s: no trial bounds it from above", name)
	}
	trials := plot.Curve{Name: "trials"}
	low, high := threshold.Range.Low, threshold.Range.High
	for _, t := range w.Trials {
		if t.Hold < threshold.Best/3 || t.Hold > 3*threshold.Best || name == fit.NameLongPress && t.Outcome == fit.Nothing {
			continue
		}
		y := 0.0
		if reached(t.Outcome) {
			y = 1
		}
		trials.Points = append(trials.Points, plot.Measured{X: float64(t.Hold), Y: y, Low: y, High: y})
		low, high = min(low, t.Hold), max(high, t.Hold)
	}
	room := (high - low) / 10
	low, high = max(0, low-room), high+room
	set := plot.CurveSet{
		Title:    fmt.Sprintf("%s: %s", name, rangeText(threshold)),
		Subtitle: evidence(w, threshold),
		X:        plot.Axis{Label: "hold", Scale: plot.HoldScale, Min: float64(low), Max: float64(high)},
		Y:        plot.Axis{Label: "chance that " + answer, Scale: plot.PercentScale, Min: -0.05, Max: 1.05},
		Markers:  []plot.Marker{{Name: string(name), X: float64(threshold.Range.Low), To: float64(threshold.Range.High)}},
	}
	switch {
	case threshold.Curve != nil:
		set.Curves = append(set.Curves, responseCurve(w, threshold.Curve, low, high))
	case threshold.Proven:
		set.Curves = append(set.Curves, provenStep(threshold.Range, low, high))
	}
	set.Curves = append(set.Curves, trials)
	return set, nil
}

// provenStep draws a bracket: nothing below it, everything above, and somewhere
// in it the step.
func provenStep(bracket sim.Interval, low, high sim.Micros) plot.Curve {
	from, to := float64(bracket.Low), float64(bracket.High)
	return plot.Curve{
		Name: "proven, but for where in the bracket it rises",
		Line: []plot.Point{{X: float64(low)}, {X: from}, {X: to, Y: 1}, {X: float64(high), Y: 1}},
	}
}

// responseCurve draws a fitted curve with its pointwise band.
func responseCurve(w fit.Window, c *fit.Curve, low, high sim.Micros) plot.Curve {
	const steps = 300
	curve := plot.Curve{Name: fmt.Sprintf("%s curve, with its %g %% band", w.Options.Shape, 100*w.Options.Confidence)}
	for i := range steps + 1 {
		x := float64(low) + float64(high-low)*float64(i)/steps
		band := c.Band(x/1e6, w.Options.Confidence)
		curve.Line = append(curve.Line, plot.Point{X: x, Y: c.Response(x / 1e6)})
		curve.Band = append(curve.Band, plot.Spread{X: x, Low: band.Low, High: band.High})
	}
	return curve
}
