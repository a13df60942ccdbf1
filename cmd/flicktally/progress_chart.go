package main

import (
	"errors"
	"fmt"
	"time"

	"flicktally/plot"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
	"flicktally/trainer"
	"flicktally/trainer/history"
)

// progressCharts lay out the charts of progress over time, by their --kind.
var progressCharts = map[string]func([]trainer.Period) plot.CurveSet{
	"success": successCurves,
	"holds":   holdCurves,
	"mix":     mixCurves,
}

// chartWindow is the --kind that is none over time.
const chartWindow = "window"

// drawProgress draws the profile that was practised last.
func (a *app) drawProgress(h *history.History, f *progressFlags) error {
	profile := a.latestProfile(h)
	periods := trainer.Progress(profile.Practised(time.Local), f.period())
	set := progressCharts[f.kind](periods)
	set.Title = profileName(profile) + ": " + set.Title
	set.X = f.dates(periods)
	chart, err := usable(plot.Curves(set, plot.Look{Dark: f.dark}))
	if err != nil {
		return err
	}
	return writeChart(f.out, f.force, chart)
}

// drawPractisedHolds draws what was practised on the rig in force over its press
// window, which the journal does not hold.
func (a *app) drawPractisedHolds(h *history.History, f *progressFlags) error {
	file, err := a.loadRig(f.rig)
	if err != nil {
		return err
	}
	hash, camera := history.RigHash(file.Rig), file.Rig.Camera
	h = h.Only(func(d *history.Drill) bool { return d.RigHash == hash })
	if len(h.Drills) == 0 {
		return wrongUsage(errors.New("found nothing practised on this rig, so there are no holds to draw"),
			"--rig FILE names the rig that was practised on")
	}
	profile := a.latestProfile(h)
	set := plot.HoldSet{Camera: camera}
	for _, d := range profile.Drills {
		for _, flick := range d.Flicks {
			for _, p := range flick.Presses {
				if !p.Open() {
					set.Holds = append(set.Holds, plot.Held{Hold: p.Hold(), Look: lanes.VerdictLook(p.Verdict)})
				}
			}
		}
	}
	set.Title = profileName(profile) + ": holds"
	set.Subtitle = fmt.Sprintf("presses: %d, in %s", len(set.Holds), tell.Counted(len(profile.Drills), "drill", "drills"))
	chart, err := usable(plot.Holds(set, plot.Look{Dark: f.dark}))
	if err != nil {
		return err
	}
	return writeChart(f.out, f.force, chart)
}

// latestProfile returns the profile that was practised last, and says so where
// there are others.
func (a *app) latestProfile(h *history.History) history.Profile {
	profiles := h.Profiles()
	profile := profiles[len(profiles)-1]
	if len(profiles) > 1 {
		a.talk.note("drawn: %s (others with --rig and --input)", profileName(profile))
	}
	return profile
}

// dates returns the axis of the periods, with room on both sides.
func (f *progressFlags) dates(periods []trainer.Period) plot.Axis {
	const day = 24 * 3600.0
	axis := plot.Axis{Label: "day", Scale: plot.DateScale}
	room := day / 2
	if f.by == "week" {
		axis.Label, room = "week that begins on", 7*day/2
	}
	for _, p := range periods {
		axis.At = append(axis.At, dateOf(p))
	}
	axis.Min, axis.Max = dateOf(periods[0])-room, dateOf(periods[len(periods)-1])+room
	return axis
}

// dateOf returns a period's place on a date axis, which shows days of UTC: the
// day that the pilot's calendar shows.
func dateOf(p trainer.Period) float64 {
	y, m, d := p.From.Date()
	return float64(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix())
}

func successCurves(periods []trainer.Period) plot.CurveSet {
	c := plot.Curve{Name: "toggled, with its 95 % interval (Wilson)", Look: lanes.Toggled}
	for _, p := range periods {
		if p.Toggled.Trials == 0 {
			continue
		}
		x, i := dateOf(p), p.Toggled.Wilson(trainer.Confidence)
		c.Band = append(c.Band, plot.Spread{X: x, Low: i.Low, High: i.High})
		addPoint(&c, x, p.Toggled.Value())
		if len(periods) == 1 { // a band has no width yet
			c.Points[0].Low, c.Points[0].High = i.Low, i.High
		}
	}
	return plot.CurveSet{
		Title:  "flicks that toggle",
		Y:      plot.Axis{Label: "share of the flicks", Scale: plot.PercentScale, Max: 1},
		Curves: []plot.Curve{c},
	}
}

func holdCurves(periods []trainer.Period) plot.CurveSet {
	mean := plot.Curve{Name: "mean hold, ± the spread"}
	spread := plot.Curve{Name: "spread (standard deviation)"}
	most := 0.0
	for _, p := range periods {
		if p.Holds.N < 2 {
			continue
		}
		x, m, sd := dateOf(p), p.Holds.Mean, p.Holds.SD
		mean.Band = append(mean.Band, plot.Spread{X: x, Low: m - sd, High: m + sd})
		mean.Line = append(mean.Line, plot.Point{X: x, Y: m})
		mean.Points = append(mean.Points, plot.Measured{X: x, Y: m, Low: m, High: m})
		addPoint(&spread, x, sd)
		most = max(most, m+sd)
	}
	return plot.CurveSet{
		Title:  "holds, slips left out",
		Y:      plot.Axis{Label: "hold", Scale: plot.HoldScale, Max: 1.2 * most},
		Curves: []plot.Curve{mean, spread},
	}
}

func mixCurves(periods []trainer.Period) plot.CurveSet {
	set := plot.CurveSet{Title: "what was practised", Y: plot.Axis{Label: "trials", Scale: plot.CountScale}}
	most := 0
	for _, k := range trainer.Kinds {
		c, total := plot.Curve{Name: k.Title()}, 0
		for _, p := range periods {
			addPoint(&c, dateOf(p), float64(p.Mix[k]))
			total += p.Mix[k]
			most = max(most, p.Mix[k])
		}
		if total > 0 {
			set.Curves = append(set.Curves, c)
		}
	}
	set.Y.Max = 1.1 * float64(most)
	return set
}

// addPoint adds a place to a curve's line, and a point there.
func addPoint(c *plot.Curve, x, y float64) {
	c.Line = append(c.Line, plot.Point{X: x, Y: y})
	c.Points = append(c.Points, plot.Measured{X: x, Y: y, Low: y, High: y})
}
