package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"flicktally/sim/export"
	"flicktally/sim/fit"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
)

// Calibration from flights: which thresholds the clips on the card allow.

// checkFlights refuses flags and arguments that mean nothing with --clips, or
// without it.
func (f *calibrateFlags) checkFlights(cmd *cobra.Command, args []string) error {
	if len(f.seen.clips.paths) == 0 {
		if len(f.seen.glances) > 0 {
			return problem.WrongUsage(errors.New("found --seen without --clips, want both, with the logs of flights"))
		}
		return cobra.MaximumNArgs(1)(cmd, args)
	}
	for _, name := range []string{"bench", "joystick", "device", "switch", "output", "trials", "width", "shape", "confidence"} {
		if cmd.Flags().Changed(name) {
			return problem.WrongUsage(fmt.Errorf("found --%s with --clips, want it only with trials at the bench", name))
		}
	}
	if len(args) == 0 {
		return problem.WrongUsage(errors.New("found --clips without a log, want the logs of the flights that made the clips"))
	}
	return nil
}

// calibrateFlights measures the press window from flights and their clips.
func (a *app) calibrateFlights(paths []string, f *calibrateFlags) error {
	file, err := a.loadRigFor(&f.logFlags)
	if err != nil {
		return err
	}
	flights, err := a.replaySeen(flight.OpenWindow(file.Rig), paths, &f.flightFlags, logs.Options{})
	if err != nil {
		return err
	}
	return a.showFound(flights, f)
}

// showFound prints and writes what the flights reveal.
func (a *app) showFound(flights []flight.Flight, f *calibrateFlags) (err error) {
	var known []fit.Known
	found := flight.FoundWindow(flights)
	for _, of := range found {
		if of.Narrowed() {
			known = append(known, fit.Known{Name: fit.ThresholdName(of.Name), Range: of.Range})
		}
	}
	a.talk.noteOddities(flights)
	if f.asJSON {
		err = export.FoundWindow(a.talk.out, flights, found)
	} else {
		a.talk.FoundWindow(flights, found, known)
	}
	switch {
	case err != nil || f.write == "":
		return err
	case len(known) == 0:
		return fmt.Errorf("nothing written to %s: the clips narrow neither threshold", f.write)
	}
	return a.writeThresholds(known, f.write)
}
