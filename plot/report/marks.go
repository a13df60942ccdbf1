package report

import (
	"fmt"

	"flicktally/sim"
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

// thin returns the marks of a log that ends at end, the dense ones among them
// joined, and whether it joined any. The marks are in order of time.
func thin(marks []mark, end sim.Micros) ([]mark, bool) {
	if len(marks) <= maxMarks {
		return marks, false
	}
	narrow := end/maxMarks + 1
	var out []mark
	for i := 0; i < len(marks); {
		group := i
		for i++; i < len(marks) && marks[group].Length() < narrow && marks[i].Length() < narrow &&
			marks[i].From/narrow == marks[group].From/narrow; i++ {
		}
		out = append(out, dense(marks[group:i]))
	}
	return out, len(out) < len(marks)
}

// dense joins marks into one that says how many it stands for.
func dense(group []mark) mark {
	if len(group) == 1 {
		return group[0]
	}
	span := sim.Span{From: group[0].From, To: group[len(group)-1].To}
	var covered sim.Micros
	for _, m := range group {
		covered += m.Length()
	}
	joined := mark{
		Span: span, Class: classDense, Cover: min(1, float64(covered)/float64(max(1, span.Length()))),
		Title: fmt.Sprintf("%d marks %s", len(group), spanText(span)),
	}
	if covered > 0 {
		joined.Title += ", covering " + percent(joined.Cover) + " of it"
	}
	return joined
}
