package report

import (
	"fmt"
	"strconv"
	"unicode"
	"unicode/utf8"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// pageView is a [Page] for its template.
type pageView struct {
	assets
	Source, Rig  string
	Notes        []string
	Parts        []partView
	Settings     []setting
	RigFrom      string
	ExampleRig   bool // some camera values are defaults, which are examples
	ModelRemarks []string
}

// partView is a flight for its template.
type partView struct {
	ID       string
	Heading  string // empty if the log has one part
	Summary  string
	Lost     bool
	Strip    strip
	Facts    []fact
	Chart    *drawing
	Causes   []cause // of the findings, if there are many
	Findings []findingRow
	Takes    []takeRow
	Flicks   []flickRow
	Armed    []armedRow
	Known    []belief.Line
	Chances  []chanceRow
	Clips    []belief.ClipRow
	// More… count what the tables leave out.
	MoreFindings, MoreTakes, MoreFlicks, MoreArmed, MoreChances, MoreClips int
}

// fact is a figure with its name.
type fact struct{ Name, Value string }

func count(name string, n int) fact { return fact{name, strconv.Itoa(n)} }

// moment is a time in a table that a chart can show.
type moment struct {
	Text     string
	From, To int64  // in µs
	Chart    string // id
}

// In returns the moment as one of a chart.
func (m moment) In(chart string) moment {
	m.Chart = chart
	return m
}

func momentOf(span sim.Span) moment {
	return moment{Text: span.From.Clock(), From: int64(span.From), To: int64(span.To)}
}

type findingRow struct {
	Key, Code, Text, Remedy string
	At                      moment
	Lost                    bool
}

type takeRow struct {
	N                  int
	Start              moment
	End, Length, Ended string
}

type flickRow struct {
	N            string
	At           moment
	Held, ByHand string
	Strip        strip
	Class, Shape string
	Outcome      string
	Doubtful     bool
	Margin       string
	After        string
}

type armedRow struct {
	Window           moment
	End              string
	Length, Recorded string
}

type chanceRow struct {
	From   moment
	To     string
	Chance string
}

func newPageView(p Page) pageView {
	rig := p.Parts[0].Replay.Rig
	v := pageView{
		assets: newAssets(p.Source+": recording tally", "page.js"), Source: p.Source, Rig: excerpt.Printable(rig.Name), RigFrom: p.RigFrom, Notes: p.Notes,
		Settings: settingsOf(rig, p.Given), ModelRemarks: modelRemarks(p.Parts[0].Replay),
	}
	for _, s := range v.Settings {
		v.ExampleRig = v.ExampleRig || s.Example
	}
	for i, part := range p.Parts {
		view := newPartView(fmt.Sprintf("part-%d", i+1), &part)
		if len(p.Parts) > 1 {
			view.Heading = fmt.Sprintf("Segment %d of %d", i+1, len(p.Parts))
		}
		v.Parts = append(v.Parts, view)
	}
	return v
}

func newPartView(id string, p *flight.Flight) partView {
	r := p.Replay
	v := partView{
		ID: id, Summary: sentence(tell.Summary(r)), Lost: r.FlicksFailed(),
		Strip: newStrip(r.Rig.Camera, emblemWidth), Facts: factsOf(r), Chart: newDrawing(id+"-chart", p),
	}
	marks := lanes.Marks(p.Findings)
	v.Findings, v.MoreFindings = rows(marks, newFindingRow)
	if len(marks) >= foldFrom {
		v.Causes = causesOf(marks)
	}
	v.Takes, v.MoreTakes = rows(r.Takes, newTakeRow)
	window := newStrip(r.Rig.Camera, gaugeWidth)
	v.Flicks, v.MoreFlicks = rows(lanes.Attempts(r), func(_ int, a lanes.Attempt) flickRow { return newFlickRow(r, a, window) })
	if r.Armed != nil {
		v.Armed, v.MoreArmed = rows(r.Armed.Windows, func(_ int, w sim.Span) armedRow { return newArmedRow(w, r.Takes) })
	}
	v.Known = p.KnownLines()
	v.Chances, v.MoreChances = rows(r.Belief, newChanceRow)
	v.Clips, v.MoreClips = rows(p.ClipRows(), func(_ int, c belief.ClipRow) belief.ClipRow {
		c.Name = excerpt.Printable(c.Name)
		return c
	})
	return v
}

// rows returns the rows of a table, and how many it leaves out.
func rows[From, Row any](all []From, rowOf func(int, From) Row) (shown []Row, more int) {
	for i, from := range all {
		if i == maxRows {
			return shown, len(all) - maxRows
		}
		shown = append(shown, rowOf(i, from))
	}
	return shown, 0
}

// sentence makes a sentence of a text: a capital and a full stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	return capital(text) + "."
}

// capital begins a text with a capital.
func capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// factsOf returns the tiles: first what went wrong.
func factsOf(r *sim.Replay) []fact {
	t := tell.TotalOf(r)
	return []fact{
		{"flicks that did not toggle", t.NotToggled()}, count("takes", t.Takes),
		{"recorded", t.RecordedOf()}, {"log", r.End.Readable()},
	}
}

func newFindingRow(_ int, mark lanes.Mark) findingRow {
	f := mark.Finding
	return findingRow{
		Key: mark.Letter, Code: string(f.Code), Text: sentence(f.Text), Remedy: sentence(f.Remedy),
		At: momentOf(mark.Span), Lost: f.Costs,
	}
}

func newTakeRow(_ int, t sim.Take) takeRow {
	return takeRow{t.N, momentOf(t.Span()), t.End.Clock(), t.Length().Readable(), tell.Ended(t)}
}

func newFlickRow(r *sim.Replay, a lanes.Attempt, window strip) flickRow {
	look := a.Look(r)
	row := flickRow{
		N: a.Number(), At: momentOf(a.Span), Held: a.Held(), ByHand: a.ByHand(r), Strip: window, Margin: a.Margin(r), After: string(a.After(r)),
		Class: class(look), Shape: shapeID(look), Outcome: look.Name(), Doubtful: a.Doubtful(),
	}
	if p := a.Press; p != nil {
		row.Strip = window.withHold(r.Rig.Camera, p.Hold())
	}
	return row
}

func newArmedRow(w sim.Span, takes []sim.Take) armedRow {
	return armedRow{momentOf(w), w.To.Clock(), w.Length().Readable(), sim.RecordedWithin(w, takes).Readable()}
}

func newChanceRow(_ int, b sim.BeliefStretch) chanceRow {
	return chanceRow{momentOf(sim.Span{From: b.From, To: b.To}), b.To.Clock(), tell.ChanceOver(b)}
}
