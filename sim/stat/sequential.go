package stat

import "math"

// SequentialTest is Wald's sequential probability ratio test for the chance of
// a failure: trial after trial it says whether the chance is Good or Bad, or
// that more trials are needed. Between the two it may say either.
//
// Source: A. Wald, Sequential Analysis (1947); NIST/SEMATECH e-Handbook of
// Statistical Methods, 6.2.6.
type SequentialTest struct {
	Good, Bad float64 // chances of a failure, 0 < Good < Bad < 1
	// FalseBad limits the chance of calling Good bad, FalseGood that of calling
	// Bad good, approximately: Wald's lines ignore the overshoot.
	FalseBad, FalseGood float64
}

// Decision is the result of a [SequentialTest].
type Decision int

// The decisions.
const (
	Undecided Decision = iota
	CalledGood
	CalledBad
)

// Lines returns the two lines of the test over the number of trials n: good at
// failures ≤ slope·n − below, bad at failures ≥ slope·n + above.
func (t SequentialTest) Lines() (slope, below, above float64) {
	k := math.Log(t.Bad * (1 - t.Good) / (t.Good * (1 - t.Bad)))
	slope = math.Log((1-t.Good)/(1-t.Bad)) / k
	below = math.Log((1-t.FalseBad)/t.FalseGood) / k
	above = math.Log((1-t.FalseGood)/t.FalseBad) / k
	return slope, below, above
}

// Decide decides from the failures in trials. Call it after every trial; the
// test ends with the first decision.
func (t SequentialTest) Decide(trials, failures int) Decision {
	slope, below, above := t.Lines()
	line := slope * float64(trials)
	switch d := float64(failures); {
	case d <= line-below:
		return CalledGood
	case d >= line+above:
		return CalledBad
	default:
		return Undecided
	}
}

// Stage returns test number n, from 0, of a series that shares the chance of
// calling Bad good: the first has half of it, the next a quarter, and so on, so
// that all together have no more than FalseGood.
func (t SequentialTest) Stage(n int) SequentialTest {
	t.FalseGood = math.Ldexp(t.FalseGood, -1-n)
	return t
}

// Needed returns how many more trials without a failure it takes to be called
// good, after failures in trials; at least one.
func (t SequentialTest) Needed(trials, failures int) int {
	n := 1
	for t.Decide(trials+n, failures) != CalledGood {
		n++
	}
	return n
}
