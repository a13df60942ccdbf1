package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/chanlog"
	"flicktally/sim/flight"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
	"flicktally/sim/tell"
)

// logFlags are the flags of every command that reads logs: the rig, and where
// the numbers are in a log.
type logFlags struct {
	rig       string
	delimiter string
	wire      string
	system    uint8
	lenient   bool
	values    sim.LogSpec            // of the flags that were given
	unit      string                 // of values
	scale     string                 // of values
	given     func(name string) bool // whether a flag was given
}

func (f *logFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.rig, "rig", "", rigUsage)
	f.addReading(cmd)
}

// addReading adds all flags but that of the rig.
func (f *logFlags) addReading(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&f.values.Time, "time", "", "the log's time `column`: its header, or \"#1\" for the first")
	flags.StringVar(&f.unit, "unit", "", "`unit` of the time column: auto, us, ms, s, ns, min, h; or of a waveform capture that names none")
	flags.StringVar(&f.values.Channel, "channel", "", "the log's channel `column`: its header, or \"#7\"")
	flags.StringVar(&f.values.Armed, "armed", "", "the `column` that tells when the craft is armed")
	flags.StringVar(&f.values.Failsafe, "failsafe", "", "the `column` that tells when the receiver had lost the signal")
	flags.StringSliceVar(&f.values.Words, "words", nil, "cells of `words`: those that count as 2000 µs, any other as 1000")
	flags.StringSliceVar(&f.values.ArmedWords, "armed-words", nil, "the same `words` for the armed column")
	flags.StringVar(&f.scale, "scale", "1", "µs = value · `scale` + offset; or percent, unit, counts, serial")
	flags.Float64Var(&f.values.Offset, "offset", 0, "see --scale")
	flags.StringVar(&f.delimiter, "delimiter", "auto", "the `character` between fields: auto, comma, semicolon, tab, bar, spaces")
	flags.StringVar(&f.wire, "wire", "", "in a waveform capture (VCD): the `name` of the camera's wire")
	flags.Uint8Var(&f.system, "system", 0, "in telemetry: the `number` of the system to read (default: the one with most frames)")
	flags.BoolVar(&f.lenient, "lenient", false, "skip and count lines that cannot be read, instead of stopping")
	f.given = flags.Changed
}

// override lets the flags that were given replace what the rig says.
func (f *logFlags) override(spec *sim.LogSpec) error {
	v := &f.values
	for name, replace := range map[string]func(){
		"time":    func() { spec.Time = v.Time },
		"unit":    func() { spec.Unit = sim.TimeUnit(f.unit) },
		"channel": func() { spec.Channel = v.Channel },
		"armed":   func() { spec.Armed = v.Armed },
		"offset":  func() { spec.Offset = v.Offset },

		"failsafe":    func() { spec.Failsafe = v.Failsafe },
		"words":       func() { spec.Words = v.Words },
		"armed-words": func() { spec.ArmedWords = v.ArmedWords },
	} {
		if f.given(name) {
			replace()
		}
	}
	if f.given("scale") {
		return overrideScale(spec, f.scale, f.given("offset"))
	}
	return nil
}

// overrideScale takes the scale of the flags. That of the rig file goes with its
// offset.
func overrideScale(spec *sim.LogSpec, text string, offsetGiven bool) error {
	if slices.Contains(sim.ScaleNames, sim.ScaleName(text)) {
		spec.ScaleName = sim.ScaleName(text)
		if !offsetGiven {
			spec.Offset = 0
		}
		return nil
	}
	number, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return problem.WrongUsage(fmt.Errorf("--scale: found %q, want a number, %s", text, sim.OneOf(sim.ScaleNames)))
	}
	spec.Scale, spec.ScaleName = number, ""
	return nil
}

// loadRigFor returns the rig with the flags' overrides, checked.
func (a *app) loadRigFor(f *logFlags) (rigfile.File, error) {
	file, err := a.loadRig(f.rig)
	if err != nil {
		return rigfile.File{}, err
	}
	if err := f.override(&file.Rig.Log); err != nil {
		return rigfile.File{}, err
	}
	if err := file.Rig.Validate(); err != nil {
		return rigfile.File{}, problem.WrongUsage(err)
	}
	return file, nil
}

// replayOptions say what replayLogs does beyond the chain.
type replayOptions struct {
	flight.Options
	limits tell.Limits
	// seen is what somebody saw of the one flight that is replayed.
	seen sightings
}

// replayLogs replays every segment of the logs. A path of "-" is standard
// input.
func (a *app) replayLogs(paths []string, f *logFlags, opts replayOptions) ([]flight.Flight, error) {
	file, err := a.loadRigFor(f)
	if err != nil {
		return nil, err
	}
	outing := !opts.seen.none() && len(paths) > 1
	var all []flight.Flight
	for _, path := range paths {
		var flights []flight.Flight
		if outing {
			flights, err = a.readLog(path, file.Rig, f, opts)
		} else {
			flights, err = a.replayLog(path, file.Rig, f, opts)
		}
		if err != nil {
			return nil, err
		}
		all = append(all, flights...)
	}
	if outing { // what was seen of one tells of the others
		return all, a.talk.judging(all, opts)
	}
	return all, nil
}

// readLog replays the segments of one log without judging them.
func (a *app) readLog(path string, rig sim.Rig, f *logFlags, opts replayOptions) ([]flight.Flight, error) {
	all, err := a.readLogWith(path, []sim.Rig{rig}, f, opts)
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// replayLog replays the segments of one log.
func (a *app) replayLog(path string, rig sim.Rig, f *logFlags, opts replayOptions) ([]flight.Flight, error) {
	all, err := a.replayLogWith(path, []sim.Rig{rig}, f, opts)
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// replayLogWith replays the segments of one log with each rig, in one pass.
func (a *app) replayLogWith(path string, rigs []sim.Rig, f *logFlags, opts replayOptions) ([][]flight.Flight, error) {
	all, err := a.readLogWith(path, rigs, f, opts)
	if err != nil {
		return nil, err
	}
	for _, flights := range all {
		if err := a.talk.judging(flights, opts); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// readLogWith is replayLogWith without judging the flights.
func (a *app) readLogWith(path string, rigs []sim.Rig, f *logFlags, opts replayOptions) ([][]flight.Flight, error) {
	var thin sim.Thinning
	if len(rigs) == 1 { // what makes no difference to one rig may make one to another
		thin = sim.NewThinning(rigs[0])
		thin.First = 256 // the step of the log is told by its first rows
		thin.Exact = opts.TraceBins > 0
	}
	log, err := a.openLog(path, f, rigs[0], thin)
	if err != nil {
		return nil, err
	}
	defer log.Close()
	all, err := flight.ReadWith(log, path, rigs, opts.Options)
	if err != nil {
		return nil, a.unreadableLog(err)
	}
	return all, nil
}

// unreadableLog marks an error in the reading of a log, with the flags that
// help where there are some.
func (a *app) unreadableLog(err error) error {
	const (
		lenient = "--lenient skips what cannot be read, and takes a log that breaks off up to there"
		columns = "--time, --unit, --channel and --delimiter say how to read the log"
	)
	var place *chanlog.SyntaxError
	switch {
	case problem.KindOf(err) != problem.Failed:
		return err
	case errors.As(err, &place) && place.Misfit && a.noRig:
		return problem.CannotRead(err, "no rig file was found that names the columns: flicktally rig new --ask makes one", columns)
	case errors.Is(err, chanlog.ErrBreaksOff):
		return problem.CannotRead(err, lenient)
	case errors.As(err, &place) && place.Skippable:
		return problem.CannotRead(err, lenient)
	case errors.As(err, &place) && place.Hint != "" && place.Text != "":
		return problem.CannotRead(err, columns)
	}
	return problem.CannotRead(err)
}
