package report

import (
	"encoding/base64"
	"fmt"
	"html/template"
	"io"

	"flicktally/sim/season"
)

// Picture is a chart on a page: SVG, for a light and for a dark page.
type Picture struct {
	Alt         string
	Light, Dark []byte
}

// seasonView is a season as its template writes it.
type seasonView struct {
	assets
	Title, Verdict string
	Facts          []fact
	Pictures       []pictureView
	Sections       []season.Section
	Flights        []seasonRow
}

type pictureView struct {
	Alt         string
	Light, Dark template.URL
}

// seasonRow is a flight of a season.
type seasonRow struct{ Began, Name, Flicks, Recorded, Note string }

// WriteSeason writes a season as one HTML file, well-formed as XML too.
func WriteSeason(w io.Writer, s *season.Season, pictures []Picture) error {
	v := seasonView{
		assets: newAssets(""), Title: s.Title(), Verdict: s.Verdict(), Sections: s.Sections(),
		Facts: []fact{
			{"flicks that did not toggle", fmt.Sprintf("%d of %d", s.Flicks.Trials-s.Flicks.Hits, s.Flicks.Trials)},
			count("flights", len(s.Flights())), count("days", len(s.Days)), {"recorded", s.Recorded.Readable()},
		},
	}
	for _, p := range pictures {
		v.Pictures = append(v.Pictures, pictureView{p.Alt, svgURL(p.Light), svgURL(p.Dark)})
	}
	for _, f := range s.Flights() {
		v.Flights = append(v.Flights, seasonRow{
			f.Moment(), f.Name(), fmt.Sprintf("%d of %d", f.Toggled, f.Flicks), f.Recorded.Readable(), f.Note,
		})
	}
	return pages().ExecuteTemplate(w, "season.html", v)
}

func svgURL(svg []byte) template.URL {
	return template.URL("data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString(svg))
}
