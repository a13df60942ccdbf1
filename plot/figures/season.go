package figures

import (
	"bytes"

	"flicktally/plot"
	"flicktally/plot/report"
	"flicktally/sim/season"
)

// seasonCharts draws the charts of a season.
var seasonCharts = map[string]func(*season.Season, plot.Look) (*plot.Chart, error){
	"days":   plot.SeasonDays,
	"window": plot.SeasonWindow,
}

// HasSeason reports whether Season draws such a chart.
func HasSeason(what string) bool { return seasonCharts[what] != nil }

// Season draws a season: "days", the share of flicks that toggled, or "window", how
// the camera's thresholds came to be known.
func Season(what string, s *season.Season, look plot.Look) (*plot.Chart, error) {
	return seasonCharts[what](s, look)
}

// phoneWidth is the width in px of a chart that a phone shows at three quarters
// of its size.
const phoneWidth = 480

// SeasonPictures draws the charts of the page about a season.
func SeasonPictures(s *season.Season) ([]report.Picture, error) {
	pictures := []report.Picture{{Alt: "the share of flicks that toggled, day by day: the table says the same"}}
	kinds := []string{"days"}
	if s.Camera.Learned() {
		pictures = append(pictures, report.Picture{Alt: "how the camera's thresholds came to be known: the table says the same"})
		kinds = append(kinds, "window")
	}
	for i, kind := range kinds {
		p := &pictures[i]
		for _, side := range []struct {
			width int
			dark  bool
			svg   *[]byte
		}{{0, false, &p.Light}, {0, true, &p.Dark}, {phoneWidth, false, &p.NarrowLight}, {phoneWidth, true, &p.NarrowDark}} {
			chart, err := seasonCharts[kind](s, plot.Look{Dark: side.dark, Size: plot.Size{Width: side.width}})
			if err != nil {
				return nil, err
			}
			var svg bytes.Buffer
			if err := plot.Write(&svg, chart, plot.SVG); err != nil {
				return nil, err
			}
			*side.svg = svg.Bytes()
		}
	}
	return pictures, nil
}
