package main

import (
	"fmt"
	"io"
	"math"

	"flicktally/plot"
	"flicktally/sim"
	"flicktally/sim/export"
	"flicktally/sim/fit"
	"flicktally/sim/tell"
)

// What calibrate shows of a press window: text, JSON, chart.

// rangeText tells the range of a threshold.
func rangeText(t fit.Threshold) string {
	switch {
	case t.Falls:
		return "not told"
	case t.Open() && t.Range.Low == 0:
		return "not known yet"
	case t.Open():
		return "more than " + t.Range.Low.Rounded()
	case t.Range.Low == 0:
		return "at most " + t.Range.High.Rounded()
	default:
		return t.Range.Rounded()
	}
}

func (t *talk) printWindow(w fit.Window, goal fit.Goal, camera sim.CameraSpec) {
	t.Heading("press window from " + tell.Counted(len(w.Trials), "trial", "trials"))
	thresholds := []fit.Threshold{w.MinPress, w.LongPress}
	t.Table(func(rows io.Writer) {
		fmt.Fprintln(rows, "threshold\trange\tmost likely\tfrom")
		for _, threshold := range thresholds {
			fmt.Fprintf(rows, "%s\t%s\t%s\t%s\n", threshold.Name, rangeText(threshold), bestText(threshold), evidence(w, threshold))
		}
	})
	for _, threshold := range thresholds {
		if threshold.Curve != nil {
			fmt.Fprintln(t.out, "  "+secondOpinion(w, threshold))
		}
		if text := w.Contradiction(threshold); text != "" {
			fmt.Fprintln(t.out, "  "+text)
		}
	}
	t.printNext(w, goal)
	t.printForRig(w, camera)
}

// printNext tells what to try next, or what is left when no trial is.
func (t *talk) printNext(w fit.Window, goal fit.Goal) {
	fmt.Fprintln(t.out)
	if next, more := w.Next(goal); more {
		fmt.Fprintf(t.out, "next hold to try, for %s: %s (%s)\n\n", next.For, next.Hold.Rounded(), next.Why)
		return
	}
	left := w.Left(goal)
	for _, threshold := range left {
		fmt.Fprintf(t.out, "%s is not known to %s after %s: %s\n", threshold.Name, goal.Of(threshold.Name),
			tell.Counted(len(w.Trials), "trial", "trials"), rangeText(threshold))
	}
	if len(left) > 0 {
		fmt.Fprintln(t.out, "More trials narrow it further: --trials allows them.")
		fmt.Fprintln(t.out)
	}
}

// printForRig tells what goes into the rig file, and which holds then toggle.
func (t *talk) printForRig(w fit.Window, camera sim.CameraSpec) {
	known, missing := knownThresholds(w)
	if err := w.CheckOrder(); err != nil {
		fmt.Fprintf(t.out, "nothing for the rig file yet: %v\n", err)
		return
	}
	for _, why := range missing {
		fmt.Fprintf(t.out, "not for the rig file yet: %v\n", why)
	}
	if len(known) == 0 {
		return
	}
	if len(missing) == 0 {
		for _, k := range known {
			k.putInto(&camera)
		}
		fmt.Fprintf(t.out, "%s, as far as these trials tell\n\n", togglesText(camera))
	}
	t.printRanges(known)
}

// printRanges prints ranges as the rig file has them.
func (t *talk) printRanges(known []knownThreshold) {
	t.Heading("for the rig file")
	fmt.Fprintln(t.out, "  [camera]")
	for _, k := range known {
		fmt.Fprintf(t.out, "  %s = [%q, %q]\n", k.name, k.rigRange.Low, k.rigRange.High)
	}
}

// togglesText names the holds that toggle for good wherever in their ranges the
// thresholds lie.
func togglesText(camera sim.CameraSpec) string {
	zone := camera.ZonesAt(sim.Window{MinPress: camera.MinPress.High, LongPress: camera.LongPress.Low}).ForGood()
	if zone.To == sim.Never {
		return fmt.Sprintf("a hold of %s or more toggles", zone.From.Rounded())
	}
	return fmt.Sprintf("a hold from %s to less than %s toggles", zone.From.Rounded(), zone.To.Rounded())
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
	case t.Falls:
		return "longer holds reach it no more often"
	case t.Open() && t.Range.Low == 0:
		return "no trial tells"
	case t.Open() || t.Bracket.Low == 0 && t.Agree:
		return percent + "; not bracketed yet"
	case t.Agree:
		return fmt.Sprintf("%s; bracketed, if the camera is sharp: %s", percent, t.Bracket.Rounded())
	default:
		return fmt.Sprintf("%s; jitters by about %s (SD)", percent, t.Jitter.Rounded())
	}
}

// secondOpinion tells what other methods make of the same trials.
func secondOpinion(w fit.Window, t fit.Threshold) string {
	at, se := t.Curve.Threshold()
	text := fmt.Sprintf("%s by maximum likelihood, %s curve: %s ± %s, spread %s",
		t.Name, w.Options.Shape, inSeconds(at), inSeconds(se), inSeconds(t.Curve.Spread()))
	if at, se, ok := fit.SpearmanKarber(t.Curve.Doses()); ok {
		text += fmt.Sprintf("; without a curve (Spearman-Kärber): %s ± %s", inSeconds(at), inSeconds(se))
	}
	return text
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
	Low      sim.Micros   `json:"low_us"`
	High     *sim.Micros  `json:"high_us,omitempty"` // absent where open
	Best     *sim.Micros  `json:"best_us,omitempty"`
	Bracket  *jsonBracket `json:"bracket_us,omitempty"` // where no trial contradicts another
	Jitter   *sim.Micros  `json:"jitter_us,omitempty"`  // where they do: standard deviation
	Response *jsonBracket `json:"response_us,omitempty"`
	Falls    bool         `json:"falls"`
	Odd      []int        `json:"contradicting_trials"`
	Curve    *jsonCurve   `json:"curve,omitempty"`
}

type jsonBracket struct {
	Low  sim.Micros  `json:"low_us"`
	High *sim.Micros `json:"high_us,omitempty"` // absent where open
}

func toJSONBracket(i sim.Interval) *jsonBracket {
	if i.High == sim.Never {
		return &jsonBracket{Low: i.Low}
	}
	return &jsonBracket{i.Low, &i.High}
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

func (t *talk) printWindowJSON(w fit.Window, goal fit.Goal) error {
	j := jsonWindow{
		Schema: export.Schema, Trials: len(w.Trials), Shape: w.Options.Shape, Confidence: w.Options.Confidence,
		MinPress: toJSONThreshold(w, w.MinPress), LongPress: toJSONThreshold(w, w.LongPress),
	}
	if next, more := w.Next(goal); more {
		j.Next = &jsonNext{next.For, next.Hold}
	}
	return export.NewJSON(t.out).Encode(j)
}

func toJSONThreshold(w fit.Window, t fit.Threshold) jsonThreshold {
	j := jsonThreshold{Low: t.Range.Low, Falls: t.Falls, Odd: append([]int{}, t.Contradicting...)}
	switch {
	case t.Agree:
		j.Bracket = toJSONBracket(t.Bracket)
	case !t.Falls:
		j.Jitter = &t.Jitter
	}
	if !t.Open() {
		j.High, j.Best, j.Response = &t.Range.High, &t.Best, toJSONBracket(t.Response)
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
	threshold, answer := w.MinPress, "the camera does something"
	if name == fit.NameLongPress {
		threshold, answer = w.LongPress, "a press that does something is long"
	}
	if _, err := threshold.ForRig(); err != nil {
		return plot.CurveSet{}, fmt.Errorf("cannot draw %s: %w", name, err)
	}
	trials := plot.Curve{Name: "trials"}
	low, high := threshold.Range.Low, threshold.Range.High
	for _, t := range w.Trials {
		if t.Hold < threshold.Best/3 || t.Hold > 3*threshold.Best || name == fit.NameLongPress && t.Outcome == fit.Nothing {
			continue
		}
		y := 0.0
		if name.Reached(t.Outcome) {
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
	set.Curves = append(set.Curves, responseCurve(threshold, w.Options.Confidence, low, high))
	if threshold.Curve != nil {
		set.Curves = append(set.Curves, likelihoodCurve(w.Options.Shape, threshold.Curve, low, high))
	}
	set.Curves = append(set.Curves, trials)
	return set, nil
}

// curveSteps is how finely a curve is drawn.
const curveSteps = 300

// responseCurve draws what the trials tell of the response, with its pointwise
// band.
func responseCurve(t fit.Threshold, confidence float64, low, high sim.Micros) plot.Curve {
	curve := plot.Curve{Name: fmt.Sprintf("as far as the trials tell, with its %g %% band", 100*confidence)}
	for i := range sim.Micros(curveSteps + 1) {
		hold := low + (high-low)*i/curveSteps
		chance, band := t.ResponseAt(hold, confidence)
		curve.Line = append(curve.Line, plot.Point{X: float64(hold), Y: chance})
		curve.Band = append(curve.Band, plot.Spread{X: float64(hold), Low: band.Low, High: band.High})
	}
	return curve
}

// likelihoodCurve draws the curve of maximum likelihood.
func likelihoodCurve(shape fit.Shape, c *fit.Curve, low, high sim.Micros) plot.Curve {
	curve := plot.Curve{Name: fmt.Sprintf("maximum likelihood, %s", shape)}
	for i := range sim.Micros(curveSteps + 1) {
		hold := low + (high-low)*i/curveSteps
		curve.Line = append(curve.Line, plot.Point{X: float64(hold), Y: c.Response(hold.Seconds())})
	}
	return curve
}
