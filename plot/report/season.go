package report

import (
	"encoding/base64"
	"fmt"
	"html/template"
	"io"

	"flicktally/sim/season"
)

// Picture is a chart on a page: SVG, for a light and for a dark page, wide and,
// for a phone, narrow.
type Picture struct {
	Alt                     string
	Light, Dark             []byte
	NarrowLight, NarrowDark []byte
}

// seasonView is a season for its template.
type seasonView struct {
	assets
	Verdict  string
	Facts    []fact
	Pictures []pictureView
	Sections []table
}

type pictureView struct {
	Alt                     string
	Image                   template.URL
	Light, Dark             template.Srcset
	NarrowLight, NarrowDark template.Srcset
}

// WriteSeason writes a season as one HTML file, well-formed as XML too.
func WriteSeason(w io.Writer, s *season.Season, pictures []Picture) error {
	v := seasonView{
		assets: newAssets(s.Title(), ""), Verdict: sentence(s.Verdict()),
		Facts: []fact{
			{"flicks that did not toggle", fmt.Sprintf("%d of %d", s.Flicks.Trials-s.Flicks.Hits, s.Flicks.Trials)},
			count("flights", len(s.Flights())), count("days", len(s.Days)), {"recorded", s.Recorded.Readable()},
		},
	}
	for _, p := range pictures {
		v.Pictures = append(v.Pictures, pictureView{
			p.Alt, template.URL(svgURL(p.Light)), sourceOf(p.Light), sourceOf(p.Dark), sourceOf(p.NarrowLight), sourceOf(p.NarrowDark),
		})
	}
	for _, section := range s.Sections() {
		v.Sections = append(v.Sections, sectionTable(section))
	}
	v.Sections = append(v.Sections, flightsTable(s.Flights()))
	return pages().ExecuteTemplate(w, "season.html", v)
}

// sectionTable returns a section, with its table if it has one. The first column
// names the rows.
func sectionTable(s season.Section) table {
	t := table{Class: "season", Title: s.Heading, What: s.Heading, Lines: s.Lines}
	for _, name := range s.Columns {
		t.Columns = append(t.Columns, column{Name: name})
	}
	if len(s.Rows) > 0 {
		t.Columns[0].Class = asWords
	}
	return withRows(t, s.Rows, func(row []string) tableRow {
		all := []cell{headCell(row[0])}
		for _, s := range row[1:] {
			all = append(all, textCell(s))
		}
		return cells(all...)
	})
}

func flightsTable(flights []season.Flight) table {
	return withRows(table{
		Class: "season", Title: "flights", What: "flights",
		Columns: []column{{"began", asWords}, {"toggled", ""}, {"recorded", ""}, {"log", asWords}, {"note", asWords}},
	}, flights, func(f season.Flight) tableRow {
		return cells(headCell(f.Moment()), textCell(fmt.Sprintf("%d of %d", f.Toggled, f.Flicks)), textCell(f.Recorded.Readable()), textCell(f.Name()), textCell(f.Note))
	})
}

func svgURL(svg []byte) string {
	return "data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString(svg)
}

// sourceOf returns a picture as the source of an image: one URL, although it has
// a comma.
func sourceOf(svg []byte) template.Srcset { return template.Srcset(svgURL(svg)) }
