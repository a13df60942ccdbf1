package report

import (
	"fmt"
	"strconv"
	"unicode"
	"unicode/utf8"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/excerpt"
	"flicktally/sim/tell"
)

// pageView is a [Page] as its template writes it.
type pageView struct {
	assets
	Source, Rig  string
	Notes        []string
	Parts        []partView
	Settings     []setting
	RigFrom      string
	ExampleRig   bool // camera values that nobody gave are examples
	ModelRemarks []string
}

// partView is a [Part] as its template writes it.
type partView struct {
	ID       string
	Heading  string // empty where the log has one part
	Summary  string
	Lost     bool
	Facts    []fact
	Chart    *drawing
	Findings []findingRow
	Takes    []takeRow
	Presses  []pressRow
	Armed    []armedRow
	Known    []belief.Line
	Chances  []chanceRow
	Clips    []belief.ClipRow
	// More… count what the tables leave out.
	MoreFindings, MoreTakes, MorePresses, MoreArmed, MoreChances, MoreClips int
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

type pressRow struct {
	N            int
	At           moment
	Held, ByHand string
	Gauge        gauge
	Verdict      string
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
		assets: newAssets("page.js"), Source: p.Source, Rig: excerpt.Printable(rig.Name), RigFrom: p.RigFrom, Notes: p.Notes,
		Settings: settingsOf(rig, p.Given), ModelRemarks: modelRemarks(p.Parts[0].Replay),
	}
	for _, s := range v.Settings {
		v.ExampleRig = v.ExampleRig || s.Example
	}
	for i, part := range p.Parts {
		view := newPartView(fmt.Sprintf("part-%d", i+1), part)
		if len(p.Parts) > 1 {
			view.Heading = fmt.Sprintf("Segment %d of %d", i+1, len(p.Parts))
		}
		v.Parts = append(v.Parts, view)
	}
	return v
}

func newPartView(id string, p Part) partView {
	r := p.Replay
	v := partView{
		ID: id, Summary: sentence(tell.Summary(r)), Lost: r.FlicksFailed(),
		Facts: factsOf(r), Chart: newDrawing(id+"-chart", p),
	}
	v.Findings, v.MoreFindings = rows(p.Findings, newFindingRow)
	v.Takes, v.MoreTakes = rows(r.Takes, newTakeRow)
	v.Presses, v.MorePresses = rows(r.Presses, func(_ int, p sim.Press) pressRow { return newPressRow(r, p) })
	if r.Armed != nil {
		v.Armed, v.MoreArmed = rows(r.Armed.Windows, func(_ int, w sim.Span) armedRow { return newArmedRow(w, r.Takes) })
	}
	v.Known = p.Known
	v.Chances, v.MoreChances = rows(r.Belief, newChanceRow)
	v.Clips, v.MoreClips = rows(p.Clips, func(_ int, c belief.ClipRow) belief.ClipRow { return c })
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

// sentence gives a text a capital and a full stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:] + "."
}

func factsOf(r *sim.Replay) []fact {
	facts := []fact{
		{"log", r.End.Readable()},
		count("presses", len(r.Presses)),
		count("takes", len(r.Takes)),
		{"recorded", r.Recorded().Readable()},
	}
	if r.Armed != nil {
		facts = append(facts, fact{"armed", r.Armed.Armed.Readable()}, fact{"recorded while armed", r.Armed.Recorded.Readable()})
	}
	return facts
}

func newFindingRow(i int, f tell.Finding) findingRow {
	return findingRow{
		Key: findingKey(i), Code: string(f.Code), Text: sentence(f.Text), Remedy: sentence(f.Remedy),
		At: momentOf(sim.Span{From: f.At, To: f.At}), Lost: f.Costs,
	}
}

func newTakeRow(_ int, t sim.Take) takeRow {
	return takeRow{t.N, momentOf(t.Span()), t.End.Clock(), t.Length().Readable(), tell.Ended(t)}
}

func newPressRow(r *sim.Replay, p sim.Press) pressRow {
	return pressRow{
		N: p.N, At: momentOf(p.Span(r.End)),
		Held: tell.Held(p), ByHand: tell.ByHand(r, p), Gauge: newGauge(r.Window, p),
		Verdict: string(p.Verdict), Doubtful: p.Doubtful, Margin: tell.Margin(r.Window, p), After: string(p.StateAfter),
	}
}

func newArmedRow(w sim.Span, takes []sim.Take) armedRow {
	return armedRow{momentOf(w), w.To.Clock(), w.Length().Readable(), sim.RecordedWithin(w, takes).Readable()}
}

func newChanceRow(_ int, b sim.BeliefStretch) chanceRow {
	return chanceRow{momentOf(sim.Span{From: b.From, To: b.To}), b.To.Clock(), tell.ChanceOver(b)}
}
