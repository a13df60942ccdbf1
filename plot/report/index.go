package report

import (
	"fmt"
	"io"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// Index lists the pages of the logs of an outing. It needs at least one.
type Index struct {
	Entries []Entry
}

// Entry is one page in an [Index].
type Entry struct {
	Page Page
	Href string // URL of the page, relative to the index
}

// Write writes the index as one HTML file, well-formed as XML too.
func (x Index) Write(w io.Writer) error {
	return pages().ExecuteTemplate(w, "index.html", newIndexView(x))
}

// indexView is an [Index] for its template.
type indexView struct {
	assets
	Facts   []fact
	Rows    []indexRow
	Longest string // of the logs
	Key     []sample
}

// indexRow is one segment of one log.
type indexRow struct {
	Source, Href string
	Summary      string
	Lost         bool
	Length       string // of the line that stands for the log, in px
	Marks        []mark
	Signs        []sign
}

// stripPlot is the width of the longest flight in px.
const stripPlot = 560

// outingFacts returns the figures of an outing: first what went wrong.
func outingFacts(t tell.Total, logs int) []fact {
	return []fact{
		{"flicks that did not toggle", t.NotToggled()},
		count("flights", logs), count("takes", t.Takes), {"recorded", t.RecordedOf()},
	}
}

func newIndexView(x Index) indexView {
	longest := sim.Micros(1)
	var replays []*sim.Replay
	for _, e := range x.Entries {
		for _, p := range e.Page.Parts {
			replays = append(replays, p.Replay)
			longest = max(longest, p.Replay.End)
		}
	}
	title := fmt.Sprintf("Outing: recording tallies of %s", tell.Counted(len(x.Entries), "flight", "flights"))
	v := indexView{assets: newAssets(title, ""), Facts: outingFacts(tell.TotalOf(replays...), len(x.Entries))}
	seen := map[lanes.Look]bool{}
	for _, e := range x.Entries {
		page := e.Page.printable()
		for _, p := range page.Parts {
			v.Rows = append(v.Rows, newIndexRow(page.Source, e.Href, &p, longest, seen))
		}
	}
	v.Longest, v.Key = longest.Readable(), keyOf(seen)
	return v
}

func newIndexRow(source, href string, p *flight.Flight, longest sim.Micros, seen map[lanes.Look]bool) indexRow {
	r := p.Replay
	row := indexRow{Source: source, Href: href, Summary: tell.Summary(r), Lost: r.FlicksFailed()}
	x := func(at sim.Micros) float64 { return stripPlot * float64(at) / float64(longest) }
	row.Length = coordinate(x(r.End))
	picture := lanes.Of(r, nil, false)
	takes := picture.Lane(lanes.Bands, "takes")
	for _, g := range lanes.Thin(takes.Spans, sim.Span{To: longest}, stripPlot) {
		label, class := labelOf(takes, g)
		seen[label.Look] = true
		row.Marks = append(row.Marks, mark{X: coordinate(x(g.From)), Width: coordinate(max(1, x(g.To)-x(g.From))), Class: class, Title: label.Title})
	}
	row.Signs = missedSigns(picture.Lane(lanes.Flicks, ""), x, seen)
	return row
}

// missedSigns returns a sign for each flick that did not toggle, or no signs if
// there is no room.
func missedSigns(flicks *lanes.Lane, x func(sim.Micros) float64, seen map[lanes.Look]bool) []sign {
	var places []float64
	missed, labels := lanes.Missed(flicks)
	for _, at := range missed {
		places = append(places, x(at))
	}
	moved, ok := lanes.SpreadNear(places, signApart, signApart/2, stripPlot)
	if !ok {
		return nil
	}
	var signs []sign
	for i, label := range labels {
		seen[label.Look] = true
		signs = append(signs, sign{X: coordinate(moved[i]), Class: class(label.Look), Shape: shapeID(label.Look), Title: label.Title, Doubt: label.Doubt})
	}
	return signs
}
