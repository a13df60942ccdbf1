package report

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// maxMarks is how many marks a lane draws one by one. With more of them, the
// short ones that begin close together become one dense mark, which leaves at
// most twice as many.
const maxMarks = 600

// mark is a stretch of a lane, or a moment where it has no length.
type mark struct {
	sim.Span
	Class string  // style classes; the kind of mark first
	Title string  // what it is, for a tooltip and the read-out
	Text  string  // written on or above it where there is room
	Brief string  // written instead where there is room for this only
	First bool    // its text comes before others in a narrow place
	Cover float64 // of a dense mark: how much of it the marks behind it cover, 0 to 1
}

// group is a stretch of spans by their indices, [first, past).
type group struct{ first, past int }

// thin groups the spans of a log that ends at end: dense ones together, others
// alone. The spans are in order of time.
func thin(spans []sim.Span, end sim.Micros) []group {
	var groups []group
	narrow := end/maxMarks + 1
	for i := 0; i < len(spans); {
		g := group{i, i + 1}
		for i++; len(spans) > maxMarks && i < len(spans) && spans[g.first].Length() < narrow &&
			spans[i].Length() < narrow && spans[i].From/narrow == spans[g.first].From/narrow; i++ {
			g.past = i + 1
		}
		groups = append(groups, g)
	}
	return groups
}

// dense returns one mark that says how many it stands for.
func dense(spans []sim.Span) mark {
	whole := sim.Span{From: spans[0].From, To: spans[len(spans)-1].To}
	var covered sim.Micros
	for _, s := range spans {
		covered += s.Length()
	}
	m := mark{
		Span: whole, Class: classDense, Cover: min(1, float64(covered)/float64(max(1, whole.Length()))),
		Title: fmt.Sprintf("%d marks %s", len(spans), spanText(whole)),
	}
	if covered > 0 {
		m.Title += ", covering " + tell.Chance(m.Cover) + " of it"
	}
	return m
}
