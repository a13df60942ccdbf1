package main

import (
	"errors"
	"time"

	"flicktally/plot"
	"flicktally/plot/figures"
	"flicktally/sim/problem"
	"flicktally/trainer"
	"flicktally/trainer/history"
)

// chartWindow is the only --kind that is not over time.
const chartWindow = "window"

// drawProgress draws the profile that was practised last.
func (a *app) drawProgress(h *history.History, f *progressFlags) error {
	profile := a.latestProfile(h)
	periods := trainer.Progress(profile.Practised(time.Local), f.period())
	return a.draw(&f.pictureFlags, func(look plot.Look) (*plot.Chart, error) {
		return figures.Practice(f.kind, profile.Title(), periods, f.by == "week", look)
	})
}

// drawPractisedHolds draws the holds practised with the current rig over its press
// window, which the journal does not have.
func (a *app) drawPractisedHolds(h *history.History, f *progressFlags) error {
	file, err := a.loadRig(f.rig)
	if err != nil {
		return err
	}
	hash := history.RigHash(file.Rig)
	h = h.Only(func(d *history.Drill) bool { return d.RigHash == hash })
	if len(h.Drills) == 0 {
		return problem.WrongUsage(errors.New("found no practice with this rig, want some to draw its holds"),
			"--rig FILE names another rig")
	}
	profile := a.latestProfile(h)
	var flicks []trainer.Flick
	for _, d := range profile.Drills {
		flicks = append(flicks, d.Flicks...)
	}
	return a.draw(&f.pictureFlags, func(look plot.Look) (*plot.Chart, error) {
		return figures.PractisedHolds(profile.Title(), file.Rig.Camera, flicks, len(profile.Drills), look)
	})
}

// latestProfile returns the profile practised last, with a note if there are
// others.
func (a *app) latestProfile(h *history.History) history.Profile {
	profiles := h.Profiles()
	profile := profiles[len(profiles)-1]
	if len(profiles) > 1 {
		a.talk.note("drawn: %s (others with --rig and --input)", profile.Title())
	}
	return profile
}
