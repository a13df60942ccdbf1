package report

import (
	"strconv"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// table is a table of a page, with a title and lines of text above it. A column
// without a name has no heading.
type table struct {
	Class   string // of the element
	Title   string
	Lines   []string
	Caption string
	What    string // its rows, in the plural
	Columns []column
	Rows    []tableRow
	More    int // rows that it leaves out
}

// Folded reports whether the table opens only on demand. On paper it is open.
func (t table) Folded() bool { return len(t.Rows) >= foldFrom }

// column is a column of a table, with its class in the style sheet: "" for
// numbers, or one of those below.
type column struct{ Name, Class string }

const (
	asWords    = "words" // on the left; wraps on a phone
	mayWrap    = "wraps" // on a phone
	notOnPhone = "wide"
)

type tableRow struct {
	Class string
	Cells []cell
}

// cell is a cell of a table: a text, a moment or a picture.
type cell struct {
	Class    string // of its column
	Head     bool   // heads the row
	Text     string
	At       *moment
	Strip    *strip
	Outcome  *sample
	Doubtful bool // the outcome
}

func textCell(s string) cell { return cell{Text: s} }
func headCell(s string) cell { return cell{Text: s, Head: true} }

// timeCell returns a cell with the start of a stretch of time.
func timeCell(chart string, span sim.Span) cell {
	m := momentOf(chart, span)
	return cell{At: &m}
}

// withRows returns the table with a row for each item, as far as it has room.
func withRows[Item any](t table, items []Item, rowOf func(Item) tableRow) table {
	shown := items[:min(len(items), maxRows)]
	t.More = len(items) - len(shown)
	for _, item := range shown {
		row := rowOf(item)
		for i := range row.Cells {
			row.Cells[i].Class = t.Columns[i].Class
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func cells(all ...cell) tableRow { return tableRow{Cells: all} }

// tablesOf returns the tables of a flight. Those that only some flights have are
// left out if empty.
func tablesOf(p *flight.Flight, chart string) []table {
	r := p.Replay
	tables := []table{flicksTable(r, chart), takesTable(r.Takes, chart)}
	var armed []sim.Span
	if r.Armed != nil {
		armed = r.Armed.Windows
	}
	for _, t := range []table{
		armedTable(armed, r.Takes, chart), clipsTable(p.ClipRows()), knownTable(p.KnownLines()), chancesTable(r.Belief, chart),
	} {
		if t.Rows != nil {
			tables = append(tables, t)
		}
	}
	return tables
}

func flicksTable(r *sim.Replay, chart string) table {
	window := newStrip(r.Rig.Camera, gaugeWidth)
	return withRows(table{
		Class: "flicks", Title: "Flicks", What: "flicks",
		Caption: "The strip is the press window, on a logarithmic scale; the upright line is the hold.",
		Columns: []column{
			{"flick", ""}, {"at", ""}, {"outcome", asWords}, {"held", ""}, {"in the press window", notOnPhone},
			{"margin", mayWrap}, {"by hand", mayWrap}, {"camera afterwards", asWords},
		},
	}, lanes.Attempts(r), func(a lanes.Attempt) tableRow {
		look, hold := a.Look(r), window
		if a.Press != nil {
			hold = window.withHold(r.Rig.Camera, a.Press.Hold())
		}
		outcome := cell{Outcome: &sample{class(look), shapeID(look), look.Name()}, Doubtful: a.Doubtful()}
		return tableRow{class(look), []cell{
			headCell(a.Number()), timeCell(chart, a.Span), outcome, textCell(a.Held()), {Strip: &hold},
			textCell(a.Margin(r)), textCell(a.ByHand(r)), textCell(string(a.After(r))),
		}}
	})
}

func takesTable(takes []sim.Take, chart string) table {
	return withRows(table{
		Class: "takes", Title: "Takes", What: "takes",
		Columns: []column{{"take", ""}, {"from", ""}, {"to", ""}, {"length", ""}, {"ended by", asWords}},
	}, takes, func(t sim.Take) tableRow {
		return cells(headCell(strconv.Itoa(t.N)), timeCell(chart, t.Span()), textCell(t.End.Clock()), textCell(t.Length().Readable()), textCell(tell.Ended(t)))
	})
}

func armedTable(windows []sim.Span, takes []sim.Take, chart string) table {
	return withRows(table{
		Class: "armed", Title: "Armed time", What: "armed stretches",
		Columns: []column{{"armed from", ""}, {"to", ""}, {"length", ""}, {"recorded", ""}},
	}, windows, func(w sim.Span) tableRow {
		return cells(timeCell(chart, w), textCell(w.To.Clock()), textCell(w.Length().Readable()), textCell(sim.RecordedWithin(w, takes).Readable()))
	})
}

func clipsTable(clips []belief.ClipRow) table {
	return withRows(table{
		Class: "clips", Title: "Clips on the card", What: "clips",
		Columns: []column{{"clip", ""}, {"name", asWords}, {"length", ""}, {"take", ""}, {"its length", ""}, {"off by", asWords}},
	}, clips, func(c belief.ClipRow) tableRow {
		return cells(headCell(c.Clip), textCell(excerpt.Printable(c.Name)), textCell(c.Length), textCell(c.Take), textCell(c.Its), textCell(c.Off))
	})
}

func knownTable(lines []belief.Line) table {
	return withRows(table{
		Class: "known", Title: "What is not known", What: "lines",
		Columns: []column{{"", asWords}, {"", asWords}},
	}, lines, func(l belief.Line) tableRow { return cells(headCell(l.Name), textCell(l.Text)) })
}

func chancesTable(stretches []sim.BeliefStretch, chart string) table {
	return withRows(table{
		Class: "chances", Title: "Chance that the camera was recording", What: "stretches",
		Lines:   []string{"Not everything about the camera is known, so the model gives chances. Where a chance changes over a stretch, it changes evenly."},
		Columns: []column{{"from", ""}, {"to", ""}, {"chance", asWords}},
	}, stretches, func(b sim.BeliefStretch) tableRow {
		return cells(timeCell(chart, sim.Span{From: b.From, To: b.To}), textCell(b.To.Clock()), textCell(tell.ChanceOver(b)))
	})
}
