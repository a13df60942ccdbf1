package sim

import (
	"math"
	"slices"
)

// Thinning says which samples of a log may be left out without changing the
// result of a chain. Take a run of samples with equal armed values and channel
// values that are alike, each later than the one before and all within Within
// of the first: those between the first and the last two may go. The last two
// stay because the chain derives from them how late it saw a move
// ([Edge.Unseen]).
//
// Left-out samples are counted by [Chain.FeedBlock]. The zero value leaves out
// nothing.
type Thinning struct {
	// Bands are ascending ranges of valid values within which a switch sees no
	// difference: no press range begins or ends inside one.
	Bands  []PulseRange
	Within Micros
	// First is how many rows are kept first: the median step is taken from them
	// ([Steps]).
	First int
	// Exact leaves out only rows that repeat the exact value, as a [Trace]
	// needs.
	Exact bool
}

// NewThinning returns the thinning that makes no difference to a chain with
// this rig and a log of the channel ([TapChannel]).
func NewThinning(rig Rig) Thinning {
	valid := PulseRange{rig.Switch.Valid.Low, nextWidth(rig.Switch.Valid.High)}
	cuts := []PulseWidth{valid.Low, valid.High}
	for _, r := range rig.Switch.Press {
		wide := r.widened(rig.Switch.Hysteresis)
		for _, cut := range []PulseWidth{r.Low, r.High, wide.Low, wide.High} {
			if cut > valid.Low && cut < valid.High {
				cuts = append(cuts, cut)
			}
		}
	}
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	t := Thinning{Within: rig.SignalLoss.StaleAfter}
	for i, cut := range cuts[1:] {
		t.Bands = append(t.Bands, PulseRange{cuts[i], cut})
	}
	return t
}

// Alike returns the range of values treated like v, v included. It is empty if
// a sample with value v must not be left out.
func (t Thinning) Alike(v PulseWidth) PulseRange {
	for _, band := range t.Bands {
		if !band.Contains(v) {
			continue
		}
		if t.Exact {
			return PulseRange{v, nextWidth(v)}
		}
		return band
	}
	return PulseRange{}
}

// nextWidth returns the smallest value above v.
func nextWidth(v PulseWidth) PulseWidth {
	return PulseWidth(math.Nextafter(float64(v), math.Inf(1)))
}
