package fit

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"flicktally/sim"
)

// Outcome is what a camera did on a press.
type Outcome string

// The outcomes.
const (
	Nothing Outcome = "nothing"
	Toggled Outcome = "toggled"
	Long    Outcome = "long"
)

// Outcomes lists the outcomes.
var Outcomes = []Outcome{Nothing, Toggled, Long}

// Trial is one press at the bench. Trials are numbered from 1, in their order.
type Trial struct {
	Hold    sim.Micros
	Outcome Outcome
}

// Options say how to fit. The zero value is a logistic shape at 95 %.
type Options struct {
	Shape      Shape
	Confidence float64 // of the intervals, above 0 and below 1
}

func (o Options) withDefaults() Options {
	if o.Shape == "" {
		o.Shape = Logistic
	}
	if o.Confidence == 0 {
		o.Confidence = 0.95
	}
	return o
}

// Window is what trials tell about the press window.
type Window struct {
	Options             Options
	Trials              []Trial
	MinPress, LongPress Threshold
}

// Threshold is what trials tell about one threshold.
type Threshold struct {
	// Range holds the threshold: the bracket that is proven if there is no
	// overlap, else the profile-likelihood interval. An end that no trial tells
	// is 0, or sim.Never.
	Range sim.Interval
	// Proven is set where no trial contradicts another, so that Range is a
	// bracket: the trials tell for certain, if the camera is sharp.
	Proven bool
	// Best is the most likely threshold: that of the curve, else the middle of
	// the bracket; sim.Never where the bracket is open above.
	Best sim.Micros
	// Curve is nil without an overlap. Its places are seconds of hold.
	Curve *Curve
	// Odd are the trials, by number, that contradict others: the fewest that
	// would have to go for the rest to agree on one threshold.
	Odd []int
	// doses are the trials that tell about the threshold.
	doses []Dose
}

// Width returns the width of the range; sim.Never where it is open above.
func (t Threshold) Width() sim.Micros {
	if t.Range.High == sim.Never {
		return sim.Never
	}
	return t.Range.High - t.Range.Low
}

// Open reports whether no trial bounds the threshold from above.
func (t Threshold) Open() bool { return t.Range.High == sim.Never }

// Fit measures the press window. It is an error if a trial cannot be, or if
// longer holds do less, so that no threshold makes sense.
func Fit(trials []Trial, o Options) (Window, error) {
	w := Window{Options: o.withDefaults(), Trials: slices.Clone(trials)}
	var all, acted []int // numbers of the trials that tell about each threshold
	for i, t := range trials {
		if t.Hold < 0 || t.Hold > sim.MaxDuration || !slices.Contains(Outcomes, t.Outcome) {
			return Window{}, fmt.Errorf("trial %d: found %s and %q, want a hold that is not negative and %s", i+1, t.Hold, t.Outcome, sim.OneOf(Outcomes))
		}
		all = append(all, i+1)
		if t.Outcome != Nothing {
			acted = append(acted, i+1)
		}
	}
	var err error
	w.MinPress, err = w.threshold(all, func(o Outcome) bool { return o != Nothing })
	if err != nil {
		return Window{}, fmt.Errorf("min_press: %w", err)
	}
	w.LongPress, err = w.threshold(acted, func(o Outcome) bool { return o == Long })
	if err != nil {
		return Window{}, fmt.Errorf("long_press: %w", err)
	}
	return w, nil
}

// threshold fits one threshold to the trials with the given numbers.
func (w *Window) threshold(numbers []int, reached func(Outcome) bool) (Threshold, error) {
	t := Threshold{Range: sim.Interval{Low: 0, High: sim.Never}, Best: sim.Never, Proven: true}
	for _, n := range numbers {
		trial := w.Trials[n-1]
		dose := Dose{At: trial.Hold.Seconds(), Trials: 1}
		if reached(trial.Outcome) {
			dose.Responses = 1
		}
		t.doses = append(t.doses, dose)
	}
	sorted, err := sortDoses(t.doses)
	if err != nil {
		return Threshold{}, err
	}
	below, above := overlap(sorted)
	if below < above {
		t.bracket(below, above)
		return t, nil
	}
	t.Proven = false
	t.Odd = w.oddOnes(numbers, reached)
	if err := t.fitCurve(w.Options, sorted, below, above); err != nil {
		return Threshold{}, fmt.Errorf("%w; %s", err, w.OddText(t))
	}
	return t, nil
}

// OddText names the trials that contradict others about a threshold, with what
// they were; it is empty where none does.
func (w Window) OddText(t Threshold) string {
	if len(t.Odd) == 0 {
		return ""
	}
	var odd []string
	for _, n := range t.Odd {
		odd = append(odd, fmt.Sprintf("trial %d (held %s: %s)", n, w.Trials[n-1].Hold.Rounded(), w.Trials[n-1].Outcome))
	}
	return "contradicting the others: " + strings.Join(odd, ", ")
}

// bracket takes the holds between which the threshold lies.
func (t *Threshold) bracket(below, above float64) {
	if !math.IsInf(below, 0) {
		t.Range.Low = micros(below)
	}
	if !math.IsInf(above, 0) {
		t.Range.High = micros(above)
		t.Best = t.Range.Middle()
	}
}

// fitCurve fits overlapping outcomes. Where they meet at one hold only, the
// steepest curve through it is best, and only its likelihood is finite.
func (t *Threshold) fitCurve(o Options, sorted []Dose, below, above float64) error {
	var interval Interval
	if below == above {
		t.Best = micros(below)
		interval = profileAtStep(o.Shape, sorted, below, o.Confidence)
	} else {
		curve, err := FitCurve(o.Shape, sorted)
		if err != nil {
			return err
		}
		t.Curve = curve
		at, _ := curve.Threshold()
		t.Best = min(micros(max(0, at)), sim.MaxDuration)
		interval = curve.Profile(o.Confidence)
	}
	if interval.Low > 0 {
		t.Range.Low = micros(interval.Low)
	}
	if !math.IsInf(interval.High, 0) {
		t.Range.High = max(micros(interval.High), t.Range.Low+1)
	}
	return nil
}

func micros(seconds float64) sim.Micros { return sim.Micros(math.Round(seconds * 1e6)) }

// oddOnes returns the fewest trials that contradict the rest: of all places at
// which a sharp threshold could be, it takes the one that most trials agree
// with.
func (w *Window) oddOnes(numbers []int, reached func(Outcome) bool) []int {
	oddAt := func(threshold sim.Micros) []int {
		var odd []int
		for _, n := range numbers {
			if t := w.Trials[n-1]; reached(t.Outcome) != (t.Hold >= threshold) {
				odd = append(odd, n)
			}
		}
		return odd
	}
	best := oddAt(sim.Never)
	for _, n := range numbers {
		if odd := oddAt(w.Trials[n-1].Hold); len(odd) < len(best) {
			best = odd
		}
	}
	return best
}

// ErrWindowEmpty says that the thresholds are not in order.
var ErrWindowEmpty = errors.New("the press window is empty")

// Ranges returns the ranges for a rig file, rounded outward to a tenth of a
// millisecond. It is an error if trials leave one open, or if they meet.
func (w Window) Ranges() (minPress, longPress sim.Interval, err error) {
	switch {
	case w.MinPress.Open():
		return minPress, longPress, errors.New("min_press is open: no trial did anything, want a longer hold")
	case w.LongPress.Open():
		return minPress, longPress, errors.New("long_press is open: no trial was long, want a longer hold")
	case outward(w.MinPress.Range).High >= outward(w.LongPress.Range).Low:
		return minPress, longPress, fmt.Errorf("min_press %s and long_press %s leave no hold that toggles for certain, want trials between them: %w",
			w.MinPress.Range, w.LongPress.Range, ErrWindowEmpty)
	}
	return outward(w.MinPress.Range), outward(w.LongPress.Range), nil
}

// outward rounds a range to what is worth writing down, so that it holds what it
// held.
func outward(i sim.Interval) sim.Interval {
	const step = 100 * sim.Microsecond
	return sim.Interval{Low: i.Low / step * step, High: (i.High + step - 1) / step * step}
}
