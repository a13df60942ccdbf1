package benchcard

import (
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/rigcheck"
)

// Card is a card for the bench.
type Card struct {
	Title    string
	Intro    string
	Cautions []Step
	Parts    []Part // in order
	Window   strip  // the press window
}

// Part is a part of the card, done in one session.
type Part struct {
	Title  string
	Steps  []Step
	Trials []Trial // a table to fill in after the steps; nil if there is none
}

// Step is something to do, with a box to tick.
type Step struct {
	Text string
	Note string // what to write down, "" = nothing
}

// Trial is a row of the table of hold trials.
type Trial struct {
	N    int    // from 1
	For  string // the threshold that it tests
	Hold sim.Micros
}

// source says where the camera's numbers come from.
func source(camera sim.CameraSpec, measured []string) string {
	examples := sim.DefaultRig().Camera
	var names []string
	for _, key := range measured {
		names = append(names, strings.TrimPrefix(key, "camera."))
	}
	switch {
	case len(names) > 1:
		return strings.Join(names, " and ") + " are measured, the camera's others are examples until you have checked them"
	case len(names) > 0:
		return names[0] + " is measured, the camera's others are examples until the hold trials and you have checked them"
	case camera.MinPress == examples.MinPress || camera.LongPress == examples.LongPress:
		return "the camera's are examples until the hold trials have measured them"
	default:
		return "it does not say whether the camera's are measured: the hold trials will show"
	}
}

// New makes the card of a rig from the report of its rig check. measured lists
// the camera keys that the rig file calls measured, "camera.min_press" and
// "camera.long_press".
func New(rig sim.Rig, report rigcheck.Report, measured []string) Card {
	title := "Bench card"
	if rig.Name != "" {
		title += " for " + excerpt.Printable(rig.Name)
	}
	c := Card{
		Title: title,
		Intro: "Work from top to bottom, and continue only when a box is ticked. The numbers are those of the rig file; " +
			source(rig.Camera, measured) + ".",
		Cautions: cautions(), Window: stripOf(rig.Camera),
	}
	s := setup{rig, report}
	for _, part := range []Part{
		s.beforeWiring(), s.firstPower(), s.switchValues(), s.firstFlick(), s.holdTrials(),
		s.powerCycles(), s.signalLoss(), s.weakPoints(), s.dryRun(),
	} {
		if len(part.Steps) > 0 {
			c.Parts = append(c.Parts, part)
		}
	}
	return c
}
