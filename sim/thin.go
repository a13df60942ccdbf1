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
	// Bands are ascending ranges of valid values, none of which contains an end of
	// a press range: the switch treats all values in one alike.
	Bands  []PulseRange
	Within Micros
	First  int  // rows to keep at the start, for the median step ([Steps])
	Exact  bool // leave out only rows that repeat the value, as a [Trace] needs
}

// NewThinning returns the thinning for a chain with this rig and a log of the
// channel ([TapChannel]).
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
