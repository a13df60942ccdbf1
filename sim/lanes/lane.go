package lanes

import (
	"sort"

	"flicktally/sim"
)

// Kind says what a lane shows, and so how it is painted.
type Kind int

// The kinds of lanes.
const (
	Findings Kind = iota // marks with letters; the only lane whose stretches may overlap
	Bands                // named stretches
	Flicks               // what the hand did: a sign for each
	Channel              // the channel's value; its stretches are those without a signal
	Levels               // pressed in each stretch, released in between
	Chance               // the chance that the camera records
)

// Lane is one row of a picture over time.
type Lane struct {
	Name string
	Kind Kind
	// Same names the following stages of the chain with the same signal, for which
	// this lane stands: "settled, 10 ms later".
	Same []string
	// Spans are the stretches in which the lane is not at rest, in order of time.
	Spans []sim.Span
	label func(i int) Label
}

// Label is the text of a stretch, and how it is drawn.
type Label struct {
	Look  Look
	Long  string // on the mark if there is room
	Short string // if there is room only for this
	Title string // in full
	Doubt bool   // it may be wrong
}

// Label returns the label of a stretch.
func (l *Lane) Label(i int) Label { return l.label(i) }

// At returns the index of the stretch that contains a moment, -1 if none does.
func (l *Lane) At(at sim.Micros) int {
	i := sort.Search(len(l.Spans), func(i int) bool { return l.Spans[i].From > at }) - 1
	if i >= 0 && (l.Spans[i].Contains(at) || l.Spans[i].From == at) {
		return i
	}
	return -1
}

// Around returns the stretch that contains a moment, or the gap between two, in
// a log that ends at end.
func (l *Lane) Around(at, end sim.Micros) sim.Span {
	if i := l.At(at); i >= 0 {
		return l.Spans[i]
	}
	after := sort.Search(len(l.Spans), func(i int) bool { return l.Spans[i].From > at })
	rest := sim.Span{From: 0, To: end}
	if after > 0 {
		rest.From = l.Spans[after-1].To
	}
	if after < len(l.Spans) {
		rest.To = l.Spans[after].From
	}
	return rest
}

// Next returns the first edge of the lane after a moment, or the last one
// before it; ok is false if there is none. Spans may overlap.
func (l *Lane) Next(at sim.Micros, forward bool) (edge sim.Micros, ok bool) {
	try := func(e sim.Micros) {
		if forward && e > at && (!ok || e < edge) || !forward && e < at && (!ok || e > edge) {
			edge, ok = e, true
		}
	}
	for _, s := range l.Spans {
		try(s.From)
		if l.Kind != Findings {
			try(s.To)
		}
	}
	return edge, ok
}
