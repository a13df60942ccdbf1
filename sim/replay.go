package sim

import (
	"iter"
	"slices"
	"sort"
)

// Replay is the result of the chain for one log: what the camera did, what
// every stage did, and how precise the samples are. It is plain data; reports,
// charts and exports are views of it.
type Replay struct {
	Rig     Rig
	Window  Window // the thresholds that the camera ran with
	Tap     Tap    // where the log was recorded; lanes of the stages before it are empty
	End     Micros // the log covers 0 to End, both included
	Samples Samples
	Flicks  []Flick // what the hand did, in order of time
	Record
	Lanes Lanes
	Lost  []Span     // stretches without a signal, including one at the start of the log
	Armed *ArmedTime // nil if the log does not say
	// Belief covers the log if something is unknown (M9); it is nil otherwise.
	Belief []BeliefStretch

	lossSince Micros
}

// Samples counts the samples.
type Samples struct {
	Count int    // rows
	Valid int    // rows with a valid channel value
	End   Micros // time of the last row
	Steps Steps  // how far apart they are
}

// Lanes holds the signal after each stage, as edges.
type Lanes struct {
	Position Lane // of the switch, or what a lost signal makes of it
	Settled  Lane // the position that counts
	Pulse    Lane // after the one-shot
	Line     Lane // the output after its refresh
	Wire     Lane // what the camera reads: delayed, and inverted where the polarities differ
}

// Lane is a two-valued signal from t = 0 on.
type Lane struct {
	Initial bool // pressed at t = 0
	Edges   []Edge
}

// At returns the level at a time.
func (l *Lane) At(at Micros) bool {
	after := sort.Search(len(l.Edges), func(i int) bool { return l.Edges[i].At > at })
	if after == 0 {
		return l.Initial
	}
	return l.Edges[after-1].Pressed
}

// PressedWithin returns how long the lane is pressed within a span.
func (l *Lane) PressedWithin(span Span) Micros {
	var total Micros
	from, pressed := span.From, l.At(span.From)
	next := sort.Search(len(l.Edges), func(i int) bool { return l.Edges[i].At > span.From })
	for ; next < len(l.Edges) && l.Edges[next].At < span.To; next++ {
		e := l.Edges[next]
		if pressed {
			total += e.At - from
		}
		from, pressed = e.At, e.Pressed
	}
	if pressed {
		total += span.To - from
	}
	return total
}

// Presses yields the stretches during which the lane is pressed. One that is not
// over ends at end, even if its length is then zero.
func (l *Lane) Presses(end Micros) iter.Seq[Span] {
	return func(yield func(Span) bool) {
		from, pressed := Micros(0), l.Initial
		for _, e := range l.Edges {
			if pressed && !e.Pressed && !yield(Span{from, e.At}) {
				return
			}
			from, pressed = e.At, e.Pressed
		}
		if pressed {
			yield(Span{from, end})
		}
	}
}

// ArmedTime compares the armed time with the takes.
type ArmedTime struct {
	Windows  []Span
	Armed    Micros // total
	Recorded Micros // the part of Armed that takes cover
}

func newArmedTime(windows []Span, takes []Take) *ArmedTime {
	a := &ArmedTime{Windows: windows}
	for _, w := range windows {
		a.Armed += w.Length()
		a.Recorded += RecordedWithin(w, takes)
	}
	return a
}

// Missed returns the armed stretches that no take covers.
func (a *ArmedTime) Missed(takes []Take) []Span { return uncovered(a.Windows, takes) }

// uncovered returns the parts of the spans that no take covers.
func uncovered(spans []Span, takes []Take) []Span {
	var missed []Span
	for _, w := range spans {
		from := w.From
		for _, t := range takesWithin(w, takes) {
			if t.Start > from {
				missed = append(missed, Span{from, t.Start})
			}
			from = t.End
		}
		if from < w.To {
			missed = append(missed, Span{from, w.To})
		}
	}
	return missed
}

// RecordedWithin returns how much of a span the takes cover.
func RecordedWithin(span Span, takes []Take) Micros {
	var total Micros
	for _, t := range takesWithin(span, takes) {
		total += min(span.To, t.End) - max(span.From, t.Start)
	}
	return total
}

// takesWithin returns the takes that overlap the span.
func takesWithin(span Span, takes []Take) []Take {
	first := sort.Search(len(takes), func(i int) bool { return takes[i].End > span.From })
	after := sort.Search(len(takes), func(i int) bool { return takes[i].Start >= span.To })
	return takes[first:max(first, after)]
}

// BeliefStretch is the chance, 0 to 1, that the camera records during a stretch
// of the log: Recording at From, RecordingTo at To, and linear between (M9).
type BeliefStretch struct {
	From, To               Micros
	Recording, RecordingTo float64
}

// ChanceAt returns the chance at a moment within the stretch.
func (b BeliefStretch) ChanceAt(at Micros) float64 {
	if b.From == b.To {
		return b.Recording
	}
	share := float64(at-b.From) / float64(b.To-b.From)
	return b.Recording + share*(b.RecordingTo-b.Recording)
}

// Recorded returns the total length of the takes.
func (r *Record) Recorded() Micros {
	var total Micros
	for _, t := range r.Takes {
		total += t.Length()
	}
	return total
}

// RecordedBeyond returns the stretches that are recorded here and not in other,
// a record of the same log.
func (r *Record) RecordedBeyond(other *Record) []Span {
	return uncovered(r.TakeSpans(), other.Takes)
}

// TakeSpans returns the time that each take covers.
func (r *Record) TakeSpans() []Span {
	var spans []Span
	for _, t := range r.Takes {
		spans = append(spans, t.Span())
	}
	return spans
}

// WithRecord returns the replay with another record of the camera, which ran with
// the given thresholds.
func (r *Replay) WithRecord(window Window, record Record) *Replay {
	with := *r
	with.Window, with.Record = window, record
	with.Flicks = slices.Clone(r.Flicks)
	with.judgeFlicks()
	if r.Armed != nil {
		with.Armed = newArmedTime(r.Armed.Windows, record.Takes)
	}
	return &with
}
