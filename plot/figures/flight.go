// Package figures lays out the charts of results: their curves, markers and
// words. Package plot draws them.
package figures

import (
	"fmt"
	"slices"

	"flicktally/plot"
	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
	"flicktally/sim/text"
)

// Timing draws the timing chart of a flight with a trace. The title is the
// verdict.
func Timing(f *flight.Flight, view plot.TimingView) (*plot.Chart, error) {
	view.Title, view.Name = tell.Summary(f.Replay), named(f.Replay.Rig, f.Name())
	view.Look.Notes = []string{cameraNote(f.Replay)}
	return plot.Timing(f.Replay, f.Findings, f.Trace, view)
}

// Holds draws the holds of the presses of all flights over the press window.
func Holds(flights []flight.Flight, look plot.Look) (*plot.Chart, error) {
	rig := flights[0].Replay.Rig
	set := plot.HoldSet{Title: named(rig, "holds"), Camera: rig.Camera}
	open := 0
	for _, f := range flights {
		for _, p := range f.Replay.Presses {
			if p.Open() {
				open++
				continue
			}
			set.Holds = append(set.Holds, plot.Held{Hold: p.Hold(), Look: lanes.PressLook(f.Replay, p), Doubt: p.Doubtful})
		}
	}
	set.Subtitle = fmt.Sprintf("presses: %d, in %s", len(set.Holds), tell.Counted(len(flights), "log", "logs"))
	if open > 0 {
		set.Subtitle += fmt.Sprintf("; not shown, as a log ended before their release: %d", open)
	}
	look.Notes = []string{cameraNote(flights[0].Replay)}
	return plot.Holds(set, look)
}

// Takes draws the takes of flights, one below the other.
func Takes(flights []flight.Flight, look plot.Look) (*plot.Chart, error) {
	flights = slices.Clone(flights)
	var replays []*sim.Replay
	for i, file := range flight.FileNames(flights) {
		f := &flights[i]
		f.Label = f.Named(file)
		replays = append(replays, f.Replay)
	}
	total := tell.TotalOf(replays...)
	look.Notes = []string{cameraNote(replays[0])}
	return plot.Takes(total.FlickSummary()+"; "+total.RecordedSummary(), replays[0].Rig.Name, flights, look)
}

// Comparisons draws the takes of all rigs, log by log.
func Comparisons(comparisons []flight.Comparison, look plot.Look) (*plot.Chart, error) {
	var rows []flight.Flight
	for i, c := range comparisons {
		for j, row := range c.Flights {
			row.Label = c.Rigs[j].Letter
			if i == 0 {
				look.Notes = append(look.Notes, row.Label+": "+c.Rigs[j].Name())
			}
			rows = append(rows, row)
		}
	}
	if len(comparisons) > 1 {
		for i, file := range flight.FileNames(rows) {
			rows[i].Label += ", " + rows[i].Named(file)
		}
	}
	title := "what each rig records"
	if len(comparisons) == 1 {
		title += " of " + comparisons[0].Flights[0].Name()
	}
	return plot.Takes(title, "", rows, look)
}

// cameraNote says which camera values a chart is based on.
func cameraNote(r *sim.Replay) string {
	c := r.Rig.Camera
	return fmt.Sprintf("The camera: min_press %s, long_press %s; %s. The tally is modelled; only the camera's own light is proof.",
		c.MinPress.Rounded(), c.LongPress.Rounded(), text.ThresholdSource(c))
}

// named puts the rig's name, if it has one, before a chart's subject.
func named(rig sim.Rig, subject string) string {
	if rig.Name == "" {
		return subject
	}
	return rig.Name + ": " + subject
}
