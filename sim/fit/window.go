package fit

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"flicktally/sim"
)

// Outcome is what a camera did at a press.
type Outcome string

// The outcomes.
const (
	Nothing Outcome = "nothing"
	Toggled Outcome = "toggled"
	Long    Outcome = "long"
)

// Outcomes lists the outcomes.
var Outcomes = []Outcome{Nothing, Toggled, Long}

// Trial is one press at the bench. Trials are numbered from 1, in order.
type Trial struct {
	Hold    sim.Micros
	Outcome Outcome
}

// Options says how to fit. The zero value is a logistic shape at 95 %.
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

// Window is the press window as far as trials reveal it.
type Window struct {
	Options             Options
	Trials              []Trial
	MinPress, LongPress Threshold
}

// Threshold is one threshold as far as trials reveal it.
type Threshold struct {
	Name ThresholdName
	// Range contains the threshold with the confidence of the options, rounded
	// outward. The bracket lies in it. An end that no trial bounds is 0 or
	// sim.Never.
	Range sim.Interval
	// Agree means that no trial contradicts another. The Bracket is then between
	// the longest hold that did not reach the threshold and the shortest that did:
	// a threshold without jitter lies in it.
	Agree   bool
	Bracket sim.Interval
	// Falls means that longer holds reach the threshold less often, so it has no
	// range.
	Falls bool
	// Best is the median of the posterior; sim.Never if the range is open
	// above.
	Best sim.Micros
	// Jitter is the median of the standard deviation that the threshold may
	// have from press to press; 0 if the trials agree.
	Jitter sim.Micros
	// Response contains the thresholds of 95 % of presses, by expectation: from
	// 2.5 to 97.5 % of the response, over all possible thresholds and jitters.
	// Range lies in it. It is 0 if Range is open, or with Falls.
	Response sim.Interval
	// Curve is the curve of maximum likelihood, for comparison; nil without an
	// overlap. Its places are seconds of hold.
	Curve *Curve
	// Contradicting are the trials, by number, that contradict another: one
	// reached the threshold, another with the same hold or a longer one did
	// not.
	Contradicting []int

	doses     []dose // the trials that bear on the threshold
	posterior posterior
}

// Width returns the width of the range; [sim.Never] if it is open above.
func (t Threshold) Width() sim.Micros { return width(t.Range) }

func width(i sim.Interval) sim.Micros {
	if i.High == sim.Never {
		return sim.Never
	}
	return i.High - i.Low
}

// Open reports whether no trial bounds the threshold from above.
func (t Threshold) Open() bool { return t.Range.High == sim.Never }

// Fit measures the press window. It is an error if a trial is impossible.
func Fit(trials []Trial, o Options) (Window, error) {
	w := Window{Options: o.withDefaults(), Trials: slices.Clone(trials)}
	var all, acted []int // numbers of the trials that bear on each threshold
	for i, t := range trials {
		if t.Hold < 0 || t.Hold > sim.MaxDuration || !slices.Contains(Outcomes, t.Outcome) {
			return Window{}, fmt.Errorf("trial %d: found %s and %q, want a hold that is not negative and %s", i+1, t.Hold, t.Outcome, sim.OneOf(Outcomes))
		}
		all = append(all, i+1)
		if t.Outcome != Nothing {
			acted = append(acted, i+1)
		}
	}
	w.MinPress = w.threshold(NameMinPress, minPrior, all)
	w.LongPress = w.threshold(NameLongPress, longPrior, acted)
	return w, nil
}

// Reached reports whether an outcome says that the press reached the threshold.
func (n ThresholdName) Reached(o Outcome) bool {
	if n == NameLongPress {
		return o == Long
	}
	return o != Nothing
}

// threshold fits one threshold to the trials with the given numbers.
func (w *Window) threshold(name ThresholdName, b prior, numbers []int) Threshold {
	t := Threshold{Name: name, Best: sim.Never}
	for _, n := range numbers {
		trial := w.Trials[n-1]
		dose := dose{At: trial.Hold.Seconds(), Trials: 1}
		if name.Reached(trial.Outcome) {
			dose.Responses = 1
		}
		t.doses = append(t.doses, dose)
	}
	t.doses = sortDoses(t.doses)
	t.posterior = newPosterior(w.Options.Shape, b, t.doses)
	below, above := overlap(t.doses)
	if t.Agree = below < above; t.Agree {
		t.bracket(below, above)
	} else {
		t.Contradicting = w.contradicting(name, numbers, below, above)
		t.compare(w.Options.Shape)
	}
	t.setRange(w.Options.Confidence)
	return t
}

// bracket sets the holds between which a sharp threshold lies.
func (t *Threshold) bracket(below, above float64) {
	t.Bracket = sim.Interval{Low: 0, High: sim.Never}
	if !math.IsInf(below, 0) {
		t.Bracket.Low = micros(below)
	}
	if !math.IsInf(above, 0) {
		t.Bracket.High = micros(above)
	}
}

// compare fits the curve of maximum likelihood to outcomes that overlap. There
// is no curve if they meet at a single hold.
func (t *Threshold) compare(shape Shape) {
	curve, err := fitCurve(shape, t.doses)
	if t.Falls = errors.Is(err, errFalling); err == nil {
		t.Curve = curve
	}
}

// setRange takes the range from the posterior. An end that no trial bounds
// stays open, and the range is never narrower than the bracket: the prior alone
// rules nothing out.
func (t *Threshold) setRange(confidence float64) {
	p := t.posterior
	t.Range = sim.Interval{Low: micros(p.quantile((1 - confidence) / 2)), High: micros(p.quantile((1 + confidence) / 2))}
	switch {
	case t.Falls:
		t.Range = sim.Interval{Low: 0, High: sim.Never}
		return
	case t.Agree:
		t.Range = sim.Interval{Low: min(t.Range.Low, t.Bracket.Low), High: max(t.Range.High, t.Bracket.High)}
	default:
		t.Jitter = micros(p.jitter())
	}
	t.Range = outward(t.Range)
	if !t.Open() {
		t.Best = min(max(micros(p.quantile(0.5)), t.Range.Low), t.Range.High)
		t.Response = outward(sim.Interval{
			Low: min(t.Range.Low, micros(p.responding(0.025))), High: max(t.Range.High, micros(p.responding(0.975))),
		})
	}
}

func micros(seconds float64) sim.Micros { return sim.Micros(math.Round(seconds * 1e6)) }

// contradicting returns the trials that contradict another, given the longest hold
// that did not reach the threshold and the shortest that did, in seconds.
func (w *Window) contradicting(name ThresholdName, numbers []int, longest, shortest float64) []int {
	var parties []int
	for _, n := range numbers {
		hold, reached := w.Trials[n-1].Hold.Seconds(), name.Reached(w.Trials[n-1].Outcome)
		if reached && hold <= longest || !reached && hold >= shortest {
			parties = append(parties, n)
		}
	}
	return parties
}

// Contradiction names the trials that contradict each other about a threshold,
// with their outcomes; it is empty if none do.
func (w Window) Contradiction(t Threshold) string {
	if t.Agree {
		return ""
	}
	var parties []string
	for _, n := range t.Contradicting {
		parties = append(parties, fmt.Sprintf("%d (%s: %s)", n, w.Trials[n-1].Hold.Rounded(), w.Trials[n-1].Outcome))
	}
	return fmt.Sprintf("%s: trials that contradict each other: %s", t.Name, strings.Join(parties, ", "))
}

// ForRig returns the range for a rig file, which is Response: trials that agree
// do not prove that the threshold never jitters. It is an error if the trials
// leave it open.
func (t Threshold) ForRig() (sim.Interval, error) {
	switch {
	case t.Falls:
		return sim.Interval{}, fmt.Errorf("%s cannot be measured: longer holds reach it no more often than shorter ones", t.Name)
	case t.Open() && t.Name == NameLongPress:
		return sim.Interval{}, errors.New("long_press is open: no trial was long, want a longer hold")
	case t.Open():
		return sim.Interval{}, errors.New("min_press is open: no trial did anything, want a longer hold")
	default:
		return t.Response, nil
	}
}

// errWindowEmpty means that the thresholds are not in order.
var errWindowEmpty = errors.New("the press window is empty")

// CheckOrder returns an error if the ranges of the thresholds for a rig file meet.
func (w Window) CheckOrder() error {
	minPress, err := w.MinPress.ForRig()
	if err != nil {
		return nil
	}
	longPress, err := w.LongPress.ForRig()
	if err != nil || minPress.High < longPress.Low {
		return nil
	}
	return fmt.Errorf("min_press %s and long_press %s leave no hold that toggles for certain, want trials between them: %w",
		minPress.Rounded(), longPress.Rounded(), errWindowEmpty)
}

// outward rounds a range outwards to a sensible precision: a tenth of a
// millisecond, and a millisecond from a second on.
func outward(i sim.Interval) sim.Interval {
	step := func(m sim.Micros) sim.Micros {
		if m < sim.Second {
			return sim.Millisecond / 10
		}
		return sim.Millisecond
	}
	low, high := step(i.Low), step(i.High)
	i.Low = i.Low / low * low
	if i.High != sim.Never {
		i.High = (i.High + high - 1) / high * high
	}
	return i
}
