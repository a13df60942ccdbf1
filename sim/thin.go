package sim

import (
	"math"
	"slices"
)

// Thinning says which samples of a log may be left out because a chain ends up
// the same without them: of samples with equal armed values and channel values
// that are alike, each later than the one before and all within Within of the
// first, those between the first and the last two. The last two stay, as the
// chain tells from them how late it saw a movement ([Edge.Unseen]).
//
// Samples that are left out are counted by [Chain.Omit]. The zero value leaves
// out nothing.
type Thinning struct {
	// Bands are the stretches of valid values, ascending, that make no difference
	// to a switch: no range begins or ends within one.
	Bands  []PulseRange
	Within Micros
	// First is how many rows stay before any is left out: they tell the median
	// step ([Steps]).
	First int
	// Exact leaves out only what repeats the value itself: for a [Trace].
	Exact bool
}

// NewThinning returns what makes no difference to a chain with this rig, fed by
// a log of the channel ([TapChannel]).
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

// Alike returns the values that are like v, itself among them. It is empty
// where a sample with v is not to be left out.
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

// nextWidth returns the least value above v.
func nextWidth(v PulseWidth) PulseWidth {
	return PulseWidth(math.Nextafter(float64(v), math.Inf(1)))
}
