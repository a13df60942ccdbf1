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
	Sections []season.Section
	Flights  []seasonRow
}

type pictureView struct {
	Alt                     string
	Image                   template.URL
	Light, Dark             template.Srcset
	NarrowLight, NarrowDark template.Srcset
}

// seasonRow is a flight of a season.
type seasonRow struct{ Began, Name, Flicks, Recorded, Note string }

// WriteSeason writes a season as one HTML file, well-formed as XML too.
func WriteSeason(w io.Writer, s *season.Season, pictures []Picture) error {
	v := seasonView{
		assets: newAssets(s.Title(), ""), Verdict: s.Verdict(), Sections: s.Sections(),
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
	for _, f := range s.Flights() {
		v.Flights = append(v.Flights, seasonRow{
			f.Moment(), f.Name(), fmt.Sprintf("%d of %d", f.Toggled, f.Flicks), f.Recorded.Readable(), f.Note,
		})
	}
	return pages().ExecuteTemplate(w, "season.html", v)
}

func svgURL(svg []byte) string {
	return "data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString(svg)
}

// sourceOf returns a picture for the source of an image: a single URL, in spite
// of its comma.
func sourceOf(svg []byte) template.Srcset { return template.Srcset(svgURL(svg)) }
