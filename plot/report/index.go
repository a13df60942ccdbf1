package report

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Index lists the pages of several logs. At least one entry is needed.
type Index struct {
	Entries []Entry
}

// Entry is one page in an [Index].
type Entry struct {
	Page Page
	Href string // where the page is, as a URL relative to the index
}

// Write writes the index as one HTML file, well-formed as XML too.
func (x Index) Write(w io.Writer) error {
	return pages().ExecuteTemplate(w, "index.html", newIndexView(x))
}

// indexView is an [Index] as its template writes it.
type indexView struct {
	assets
	Facts []fact
	Rows  []indexRow
}

// indexRow is one segment of one log.
type indexRow struct {
	Source, Href string
	Strip        strip
	End          string
	Recorded     string
	Summary      string
	Lost         bool
}

// strip draws the takes of a flight on a scale that all flights share.
type strip struct {
	Ticks, Length int64
	Takes         []rect
}

func newIndexView(x Index) indexView {
	longest, recorded, takes := sim.Micros(1), sim.Micros(0), 0
	for _, e := range x.Entries {
		for _, p := range e.Page.Parts {
			longest = max(longest, p.Replay.End)
			recorded += p.Replay.Recorded()
			takes += len(p.Replay.Takes)
		}
	}
	v := indexView{assets: newAssets(""), Facts: []fact{
		count("logs", len(x.Entries)), count("takes", takes), {"recorded", recorded.Readable()},
	}}
	for _, e := range x.Entries {
		page := e.Page.printable()
		for _, p := range page.Parts {
			r := p.Replay
			v.Rows = append(v.Rows, indexRow{
				Source: page.Source, Href: e.Href, Strip: newStrip(r, longest),
				End: r.End.Readable(), Recorded: r.Recorded().Readable(),
				Summary: sentence(tell.Summary(r)), Lost: r.FlicksFailed(),
			})
		}
	}
	return v
}

func newStrip(r *sim.Replay, longest sim.Micros) strip {
	d := drawing{Unit: tickUnit(longest)}
	s := strip{Ticks: max(1, d.ticks(longest)), Length: d.ticks(r.End)}
	takes, _ := takesLane(r).marks(r.End)
	for _, m := range takes {
		from, to := d.ticks(m.From), d.ticks(m.To)
		s.Takes = append(s.Takes, rect{X: from, Width: max(1, to-from), Class: m.Class, Title: m.Title})
	}
	return s
}
