package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/export"
	"flicktally/sim/fit"
	"flicktally/sim/flight"
	"flicktally/sim/problem"
	"flicktally/sim/tell"
)

// Calibrate from flights: which thresholds the clips on the card leave possible.

// checkFlights refuses what has no meaning with --clips, or without it.
func (f *calibrateFlags) checkFlights(cmd *cobra.Command, args []string) error {
	if len(f.seen.clips.paths) == 0 {
		if len(f.seen.glances) > 0 {
			return problem.WrongUsage(errors.New("found --seen without --clips, want both for flights"))
		}
		return cobra.MaximumNArgs(1)(cmd, args)
	}
	for _, name := range []string{"bench", "joystick", "device", "switch", "output", "trials", "width", "shape", "confidence"} {
		if cmd.Flags().Changed(name) {
			return problem.WrongUsage(fmt.Errorf("found --%s with --clips, want it with trials at the bench only", name))
		}
	}
	if len(args) == 0 {
		return problem.WrongUsage(errors.New("found --clips and no log, want the logs of the flights whose clips they are"))
	}
	return nil
}

// calibrateFlights measures the press window by flights and the clips of them.
func (a *app) calibrateFlights(logs []string, f *calibrateFlags) error {
	seen, err := a.readSeen(&f.seen, logs)
	if err != nil {
		return err
	}
	f.reading.rig = f.rig
	if f.write != "" {
		f.reading.rig = f.write
	}
	file, err := a.loadRigFor(&f.reading)
	if err != nil {
		return err
	}
	rig := flight.OpenWindow(file.Rig)
	opts := replayOptions{limits: tell.DefaultLimits(), seen: seen}
	var flights []flight.Flight
	for _, log := range logs {
		more, err := a.readLog(log, rig, &f.reading, opts)
		if err != nil {
			return err
		}
		flights = append(flights, more...)
	}
	if err := a.talk.judging(flights, opts); err != nil {
		return err
	}
	return a.showFound(flights, f)
}

// showFound prints what flights tell, and writes it.
func (a *app) showFound(flights []flight.Flight, f *calibrateFlags) (err error) {
	var known []knownThreshold
	found := flight.FoundWindow(flights)
	for _, of := range found {
		if of.Tells() {
			known = append(known, knownThreshold{fit.ThresholdName(of.Name), of.Range})
		}
	}
	a.talk.tellOddities(flights)
	if f.asJSON {
		err = a.talk.printFoundJSON(flights, found)
	} else {
		a.talk.printFound(flights, found, known)
	}
	switch {
	case err != nil || f.write == "":
		return err
	case len(known) == 0:
		return fmt.Errorf("nothing written to %s: the clips tell of neither threshold", f.write)
	}
	return a.writeThresholds(known, f.write)
}

func (t *talk) printFound(flights []flight.Flight, found []flight.Found, known []knownThreshold) {
	for _, line := range flights[0].Card {
		fmt.Fprintln(t.out, line)
	}
	t.Heading(fmt.Sprintf("press window from %s and %s", tell.Counted(len(flights), "flight", "flights"), tell.Counted(len(flights[0].Clips), "clip", "clips")))
	t.Table(func(rows io.Writer) {
		fmt.Fprintln(rows, "threshold\tstill possible\tlooked for")
		for _, of := range found {
			text := "the clips do not tell"
			if of.Tells() {
				text = of.Range.String()
			}
			fmt.Fprintf(rows, "%s\t%s\t%s\n", of.Name, text, of.Asked)
		}
	})
	if len(known) > 0 {
		fmt.Fprintln(t.out)
		t.printRanges(known)
	}
}

type jsonFoundWindow struct {
	Schema    int       `json:"schema"`
	Flights   int       `json:"flights"`
	Clips     int       `json:"clips"`
	MinPress  jsonFound `json:"min_press"`
	LongPress jsonFound `json:"long_press"`
}

// jsonFound is what was looked for where the clips do not tell.
type jsonFound struct {
	Low   sim.Micros   `json:"low_us"`
	High  sim.Micros   `json:"high_us"`
	Asked *jsonBracket `json:"looked_for_us"`
	Tells bool         `json:"told"`
}

func (t *talk) printFoundJSON(flights []flight.Flight, found []flight.Found) error {
	of := func(f flight.Found) jsonFound {
		return jsonFound{f.Range.Low, f.Range.High, toJSONBracket(f.Asked), f.Tells()}
	}
	return export.NewJSON(t.out).Encode(jsonFoundWindow{export.Schema, len(flights), len(flights[0].Clips), of(found[0]), of(found[1])})
}
