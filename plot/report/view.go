package report

import (
	"fmt"
	"strconv"
	"unicode"
	"unicode/utf8"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// pageView is a [Page] for its template.
type pageView struct {
	assets
	Page
	Rig          string
	Parts        []partView
	Settings     table
	ExampleRig   bool // some camera values are examples
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
	Tables   []table
	// MoreFindings is the number of findings that are left out.
	MoreFindings int
}

// fact is a figure with its name.
type fact struct{ Name, Value string }

func count(name string, n int) fact { return fact{name, strconv.Itoa(n)} }

// moment is a time on a page. A click on it shows it in a chart.
type moment struct {
	Text     string
	From, To int64  // in µs
	Chart    string // id
}

func momentOf(chart string, span sim.Span) moment {
	return moment{span.From.Clock(), int64(span.From), int64(span.To), chart}
}

// findingRow is a finding with the moment that a click on it shows.
type findingRow struct {
	lanes.Mark
	At moment
}

func newPageView(p Page) pageView {
	rig := p.Parts[0].Replay.Rig
	v := pageView{
		assets: newAssets(p.Source+": recording tally", "page.js"), Page: p,
		Rig: excerpt.Printable(rig.Name), ModelRemarks: modelRemarks(p.Parts[0].Replay),
	}
	v.Settings, v.ExampleRig = settingsTable(rig, p.Given)
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
		ID: id, Summary: tell.Summary(r), Lost: r.FlicksFailed(),
		Strip: newStrip(r.Rig.Camera, emblemWidth), Facts: factsOf(r), Chart: newDrawing(id+"-chart", p), Tables: tablesOf(p, id+"-chart"),
	}
	marks := lanes.Marks(p.Findings)
	v.MoreFindings = max(0, len(marks)-maxRows)
	for _, m := range marks[:len(marks)-v.MoreFindings] {
		v.Findings = append(v.Findings, findingRow{m, momentOf(v.Chart.ID, m.Span)})
	}
	if len(marks) >= foldFrom {
		v.Causes = causesOf(v.Chart.ID, marks)
	}
	return v
}

// sentence gives a text a capital and a full stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	return capital(text) + "."
}

// capital gives a text a capital.
func capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// factsOf returns the figures at the top of a page: first what went wrong.
func factsOf(r *sim.Replay) []fact {
	t := tell.TotalOf(r)
	return []fact{
		{"flicks that did not toggle", t.NotToggled()}, count("takes", t.Takes),
		{"recorded", t.RecordedOf()}, {"length of the log", r.End.Readable()},
	}
}
