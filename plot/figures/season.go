package figures

import (
	"bytes"
	"errors"
	"slices"
	"time"

	"flicktally/plot"
	"flicktally/plot/report"
	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/season"
)

// seasonCurves lay out a season.
var seasonCurves = map[string]func(*season.Season) plot.CurveSet{
	"days":   seasonDays,
	"window": seasonWindow,
}

// HasSeason reports whether Season draws such a chart.
func HasSeason(what string) bool { return seasonCurves[what] != nil }

// Season draws a season: "days", the chance of a toggle, or "window", what was
// learned about the camera's thresholds. It returns an error for a window about
// which nothing was learned.
func Season(what string, s *season.Season, look plot.Look) (*plot.Chart, error) {
	if what == "window" && !s.Camera.Learned() {
		return nil, errors.New("found no flight that narrows min_press or long_press, so there is nothing to draw")
	}
	if what == "days" {
		look.Notes = []string{"The chance of a day with few flicks is drawn towards the season's."}
	}
	return plot.Curves(seasonCurves[what](s), look)
}

// seasonDays lays out the chance of a toggle over the days, in flight and in
// practice.
func seasonDays(s *season.Season) plot.CurveSet {
	flown := plot.Curve{Name: "in flight: chance (95 %)", Look: lanes.Toggled, Parts: plot.Line | plot.Band | plot.Points}
	practised := plot.Curve{Name: "in practice: share (95 %)", Parts: plot.Points}
	var days []float64
	for _, p := range s.Days {
		if p.Toggled.Trials == 0 {
			continue
		}
		x := dayAt(p.Name)
		days = append(days, x)
		flown.Values = append(flown.Values, plot.Value{X: x, Y: p.Pooled, Low: p.Within.Low, High: p.Within.High})
	}
	for _, p := range s.Practice {
		x, i := dayAt(p.Name), p.Toggled.Wilson(0.95)
		days = append(days, x)
		practised.Values = append(practised.Values, plot.Value{X: x, Y: p.Toggled.Value(), Low: i.Low, High: i.High})
	}
	set := plot.CurveSet{
		Title: s.Verdict(), Subtitle: s.Title(),
		X:      dateAxis("day", halfDay, days),
		Y:      plot.Axis{Label: "share of the flicks", Scale: plot.PercentScale, Max: 1},
		Curves: []plot.Curve{flown},
	}
	if practised.Values != nil {
		set.Curves = append(set.Curves, practised)
	}
	return set
}

// seasonWindow lays out the ranges of the camera's thresholds, outing by outing.
func seasonWindow(s *season.Season) plot.CurveSet {
	least := plot.Curve{Name: "min_press (95 %)", Parts: plot.Line | plot.Band}
	longs := plot.Curve{Name: "long_press (95 %)", Parts: plot.Line | plot.Band}
	add := func(c *plot.Curve, x float64, r sim.Interval) {
		c.Values = append(c.Values, plot.Value{X: x, Y: float64(r.Low+r.High) / 2, Low: float64(r.Low), High: float64(r.High)})
	}
	add(&least, 0, s.Rig.Camera.MinPress)
	add(&longs, 0, s.Rig.Camera.LongPress)
	for i, step := range s.Camera.Steps {
		add(&least, float64(i+1), step.MinPress)
		add(&longs, float64(i+1), step.LongPress)
	}
	return plot.CurveSet{
		Title: "min_press " + season.Range(s.Camera.MinPress) + ", long_press " + season.Range(s.Camera.LongPress), Subtitle: s.Title(),
		X:      plot.Axis{Label: "outings with clips or glances", Scale: plot.CountScale, Max: max(1, float64(len(s.Camera.Steps)))},
		Y:      plot.Axis{Label: "hold", Scale: plot.HoldScale, Max: 1.1 * float64(s.Rig.Camera.LongPress.High)},
		Curves: []plot.Curve{least, longs},
	}
}

// dayAt returns the place of a day on a date axis.
func dayAt(name string) float64 {
	day, err := time.Parse(time.DateOnly, name)
	if err != nil {
		panic("internal error: " + err.Error()) // the season wrote it
	}
	return float64(day.Unix())
}

// halfDay is half a day on a date axis.
const halfDay = 12 * 3600

// dateAxis returns an axis that covers some days, with room on both sides.
func dateAxis(label string, room float64, days []float64) plot.Axis {
	axis := plot.Axis{Label: label, Scale: plot.DateScale}
	if len(days) > 0 {
		axis.Min, axis.Max = slices.Min(days)-room, slices.Max(days)+room
	}
	return axis
}

// phoneWidth is the width in px of a chart for a phone.
const phoneWidth = 360

// SeasonPictures draws the charts of the page about a season.
func SeasonPictures(s *season.Season) ([]report.Picture, error) {
	days, err := picture("days", "the share of flicks that toggled, day by day: the table says the same", s)
	if err != nil || !s.Camera.Learned() {
		return []report.Picture{days}, err
	}
	window, err := picture("window", "what was learned about the camera's thresholds: the table says the same", s)
	return []report.Picture{days, window}, err
}

// picture draws a chart of a season in each of the forms that a page needs, without
// the title, which is on the page.
func picture(what, alt string, s *season.Season) (report.Picture, error) {
	p, set := report.Picture{Alt: alt}, seasonCurves[what](s)
	set.Title, set.Subtitle = "", ""
	for _, form := range []struct {
		width int
		dark  bool
		svg   *[]byte
	}{{0, false, &p.Light}, {0, true, &p.Dark}, {phoneWidth, false, &p.NarrowLight}, {phoneWidth, true, &p.NarrowDark}} {
		chart, err := plot.Curves(set, plot.Look{Dark: form.dark, Size: plot.Size{Width: form.width}})
		if err != nil {
			return p, err
		}
		var svg bytes.Buffer
		if err := plot.Write(&svg, chart, plot.SVG); err != nil {
			return p, err
		}
		*form.svg = svg.Bytes()
	}
	return p, nil
}
