package report

import (
	"fmt"

	"flicktally/sim"
)

// maxMarks is how many marks a lane draws one by one. With more of them, the
// short ones that lie close together become one dense mark, which leaves at
// most twice as many and one.
const maxMarks = 400

// mark is a stretch of a lane, or a moment where it has no length.
type mark struct {
	sim.Span
	Class string // style classes; the kind of mark first
	Title string // what it is, for a tooltip and the read-out
	Text  string // written on or above it where there is room
	Brief string // written instead where there is room for this only
	First bool   // its text comes before others in a narrow place
}

// thin returns the marks of a log that ends at end, the dense ones among them
// joined, and whether it joined any. The marks are in order of time.
func thin(marks []mark, end sim.Micros) ([]mark, bool) {
	if len(marks) <= maxMarks {
		return marks, false
	}
	narrow := end/maxMarks + 1
	var out []mark
	var group []mark
	closeGroup := func() {
		if len(group) > 0 {
			out = append(out, dense(group))
		}
		group = nil
	}
	for _, m := range marks {
		if n := len(group); n > 0 && m.From-group[n-1].To >= narrow {
			closeGroup()
		}
		if m.Length() >= narrow {
			closeGroup()
			out = append(out, m)
			continue
		}
		group = append(group, m)
	}
	closeGroup()
	return out, true
}

// dense joins marks into one that says how many it stands for.
func dense(group []mark) mark {
	if len(group) == 1 {
		return group[0]
	}
	span := sim.Span{From: group[0].From, To: group[len(group)-1].To}
	return mark{
		Span:  span,
		Class: "dense",
		Title: fmt.Sprintf("%d marks from %s to %s, too dense to draw one by one", len(group), span.From.Clock(), span.To.Clock()),
	}
}
