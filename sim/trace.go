package sim

import (
	"fmt"
	"math"
	"slices"
)

// TraceBin is the lowest and the highest value of a channel during a stretch of
// time. Both are NaN if it had none: before the first valid sample, or with the
// signal lost throughout.
type TraceBin struct {
	Span
	Low, High PulseWidth
}

// Absent reports whether the channel had no value anywhere in the bin.
func (b TraceBin) Absent() bool { return math.IsNaN(float64(b.Low)) }

// Trace reduces the samples of a log to the lowest and the highest value per
// bin of time, for charts of the channel. Its memory does not grow with the log.
// It is fed the same samples as the chain.
//
// A value counts in every bin in which it is held (M1), until the signal is
// lost (M2), so a bin between two samples has a value too. Of several samples
// at one instant the last counts.
type Trace struct {
	spec   SwitchSpec
	stale  Micros
	holds  bool // an absent sample leaves the value as it is
	window Span // To is Never while the bins widen with the log
	width  Micros
	bins   []valueRange
	limit  int

	// The current value, since heldAt; it is counted once its end is known.
	// binEnd is the end of the bin that contains heldAt, 0 if none does.
	held   PulseWidth
	heldAt Micros
	binEnd Micros
	open   *valueRange // the bin that ends at binEnd
	end    Micros      // time of the last sample
}

// valueRange is the lowest and the highest value of a bin; low > high if it is
// empty.
type valueRange struct{ low, high PulseWidth }

var emptyRange = valueRange{PulseWidth(math.Inf(1)), PulseWidth(math.Inf(-1))}

func (r *valueRange) widen(v PulseWidth) {
	if v < r.low {
		r.low = v
	}
	if v > r.high {
		r.high = v
	}
}

func (r *valueRange) join(other valueRange) {
	r.low, r.high = min(r.low, other.low), max(r.high, other.high)
}

// NewTrace returns a trace of a whole log that was recorded at tap, in at most
// the given number of bins, at least 2. Their width doubles as the log goes on.
// Absent samples mean what they mean to [NewChain].
func NewTrace(tap Tap, rig Rig, bins int) *Trace {
	if bins < 2 {
		panic(fmt.Sprintf("internal error: a trace of %d bins", bins))
	}
	return newTrace(tap, rig, Span{0, Never}, 1, bins)
}

// NewTraceWithin returns a trace of a part of a log that was recorded at tap,
// in at most the given number of bins of equal width. Samples before the part
// supply the value held at its start.
func NewTraceWithin(tap Tap, rig Rig, window Span, bins int) *Trace {
	if bins < 1 || window.From < 0 || window.Length() < 1 {
		panic(fmt.Sprintf("internal error: a trace of %d bins from %d to %d µs", bins, window.From, window.To))
	}
	width := (window.Length()-1)/Micros(bins) + 1
	return newTrace(tap, rig, window, width, bins)
}

func newTrace(tap Tap, rig Rig, window Span, width Micros, bins int) *Trace {
	rig = rig.from(tap)
	return &Trace{
		spec: rig.Switch, stale: rig.SignalLoss.StaleAfter, holds: tap == TapChannel,
		window: window, width: width, limit: bins, held: Absent,
	}
}

// Feed takes the next sample. Its time must not be earlier than the previous
// one's.
func (t *Trace) Feed(s Sample) {
	t.end = s.At
	value := s.Channel
	if !t.spec.IsValid(value) {
		if t.holds && value != Lost {
			return
		}
		value = Absent
	}
	if s.At > t.heldAt {
		if s.At <= t.binEnd {
			t.open.widen(t.held)
		} else {
			t.cover(s.At)
		}
		t.heldAt = s.At
		if s.At >= t.binEnd {
			t.moveTo(s.At)
		}
	}
	t.held = value
}

// FeedAll feeds several samples in turn.
func (t *Trace) FeedAll(samples []Sample) {
	for _, s := range samples {
		t.Feed(s)
	}
}

// Extremes returns the lowest and the highest value so far; both are NaN if
// there was none.
func (t *Trace) Extremes() (low, high PulseWidth) {
	all := t.Range(0, Never, 1)[0]
	return all.Low, all.High
}

// Width returns the width of the bins so far.
func (t *Trace) Width() Micros { return t.width }

// Bins returns the trace so far, from the start of the log or of its window to
// the last sample. It shares no memory with the trace.
func (t *Trace) Bins() []TraceBin {
	whole := t.complete()
	bins := make([]TraceBin, len(whole.bins))
	for i, r := range whole.bins {
		from := whole.window.From + Micros(i)*whole.width
		bins[i] = r.bin(Span{from, min(from+whole.width, whole.window.To)})
	}
	return bins
}

// Range returns the stretch [from, to) of the trace so far in columns of equal
// width, at most one per microsecond. A bin that spans two columns counts in the
// first, so that an edge of the signal shows once. If columns are narrower than
// bins, neighbouring columns show the same bin.
func (t *Trace) Range(from, to Micros, columns int) []TraceBin {
	if from >= to || columns < 1 {
		panic(fmt.Sprintf("internal error: %d columns from %d to %d µs", columns, from, to))
	}
	complete := t.complete()
	count := min(Micros(columns), to-from)
	coarse := (to-from)/count < complete.width
	out := make([]TraceBin, count)
	for i := range count {
		span := Span{from + (to-from)*i/count, from + (to-from)*(i+1)/count}
		first := max(0, span.From-complete.window.From) / complete.width
		if i > 0 && !coarse && first*complete.width < span.From-complete.window.From {
			first++
		}
		out[i] = complete.rangeOf(first, span.To).bin(span)
	}
	return out
}

// rangeOf joins the bins from first on that begin before a moment.
func (t *Trace) rangeOf(first, until Micros) valueRange {
	joined := emptyRange
	for i := first; i < Micros(len(t.bins)) && i*t.width < until-t.window.From; i++ {
		joined.join(t.bins[i])
	}
	return joined
}

func (r valueRange) bin(span Span) TraceBin {
	if r.low > r.high {
		return TraceBin{span, Absent, Absent}
	}
	return TraceBin{span, r.low, r.high}
}

// complete returns a copy that also counts the current value up to the last
// sample, which the log covers (M0).
func (t *Trace) complete() *Trace {
	c := *t
	c.bins = slices.Clone(t.bins)
	c.cover(t.end + 1)
	return &c
}

// cover counts the current value for every bin from heldAt up to a moment, or
// until the signal is lost.
func (t *Trace) cover(until Micros) {
	t.reach(min(until, t.window.To) - 1)
	from := max(t.heldAt, t.window.From)
	to := min(until, t.heldAt+t.stale, t.window.To)
	if from >= to {
		return
	}
	first, last := (from-t.window.From)/t.width, (to-1-t.window.From)/t.width
	for i := first; i <= last; i++ {
		t.bins[i].widen(t.held)
	}
}

// moveTo makes the bin of a moment the open one, if the trace covers it.
func (t *Trace) moveTo(at Micros) {
	t.binEnd = 0
	if t.window.Contains(at) {
		t.reach(at)
		i := (at - t.window.From) / t.width
		t.open = &t.bins[i]
		t.binEnd = min(t.window.From+(i+1)*t.width, t.window.To)
	}
}

// reach makes room for bins up to the moment at. If they become too many, it
// widens all of them.
func (t *Trace) reach(at Micros) {
	if at < t.window.From {
		return
	}
	for (at-t.window.From)/t.width >= Micros(t.limit) {
		t.halve()
	}
	for (at-t.window.From)/t.width >= Micros(len(t.bins)) {
		t.bins = append(t.bins, emptyRange)
	}
}

// halve joins bins in pairs.
func (t *Trace) halve() {
	t.width *= 2
	half := (len(t.bins) + 1) / 2
	for i := range half {
		joined := t.bins[2*i]
		if 2*i+1 < len(t.bins) {
			joined.join(t.bins[2*i+1])
		}
		t.bins[i] = joined
	}
	t.bins = t.bins[:half]
}
