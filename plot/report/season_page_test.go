package report_test

import (
	"io"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"flicktally/plot/report"
	"flicktally/sim"
	"flicktally/sim/season"
)

// seasonPage is the page of a season of two flights.
type seasonPage struct{}

func (seasonPage) Write(w io.Writer) error {
	svg := func(width string) []byte {
		return []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="` + width + `" height="100"><rect width="50" height="50"/></svg>`)
	}
	flights := []season.Flight{
		{File: "lake/1.csv", Flicks: 9, Toggled: 5, Length: 156 * sim.Second, Recorded: 55 * sim.Second},
		{File: "lake/2.csv", Flicks: 7, Toggled: 7, Length: 100 * sim.Second, Recorded: 60 * sim.Second},
	}
	s := season.Of(heron(), []season.Outing{{Folder: "lake", Flights: flights}}, nil)
	return report.WriteSeason(w, s, []report.Picture{{
		Alt: "days", Light: svg("1001"), Dark: svg("1002"), NarrowLight: svg("401"), NarrowDark: svg("402"),
	}})
}

// Each kind of screen and paper gets its own picture.
func TestBrowserSeasonShowsItsPictures(t *testing.T) {
	dark := command(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}},
	})
	print := command(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	wide, phone := chromedp.EmulateViewport(1280, 1000), chromedp.EmulateViewport(390, 844)
	for _, test := range []struct {
		name    string
		width   int
		prepare []step
	}{
		{"light", 1001, []step{wide}}, {"dark", 1002, []step{wide, dark}}, {"print", 1001, []step{wide, print}},
		{"phone", 401, []step{phone}}, {"dark phone", 402, []step{phone, dark}},
	} {
		b := open(t, seasonPage{}, test.prepare...)
		require.Equal(t, test.width, eval[int](t, b, `document.querySelector("img.chart").naturalWidth`), test.name)
		require.False(t, eval[bool](t, b, `document.documentElement.scrollWidth > innerWidth`), "%s is wider than the window", test.name)
	}
}
