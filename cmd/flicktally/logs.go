package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/chanlog"
	"flicktally/sim/rigfile"
	"flicktally/sim/source"
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
	cmd.Flags().StringVar(&f.rig, "rig", "", "rig file (default: rig.toml in this folder, if it is there)")
	f.addReading(cmd)
}

// addReading adds all flags but that of the rig.
func (f *logFlags) addReading(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&f.values.Time, "time", "", `the log's time column: its header, or "#1" for the first`)
	flags.StringVar(&f.unit, "unit", "", "unit of the time column: auto, us, ms, s, ns, min, h; or of a waveform capture that names none")
	flags.StringVar(&f.values.Channel, "channel", "", `the log's channel column: its header, or "#7"`)
	flags.StringVar(&f.values.Armed, "armed", "", "the column that tells when the craft is armed")
	flags.StringVar(&f.values.Failsafe, "failsafe", "", "the column that tells when the receiver had lost the signal")
	flags.StringSliceVar(&f.values.Words, "words", nil, "cells of words: those that count as 2000 µs, any other as 1000")
	flags.StringSliceVar(&f.values.ArmedWords, "armed-words", nil, "the same for the armed column")
	flags.StringVar(&f.scale, "scale", "1", "µs = value · scale + offset; or percent, unit, counts, serial")
	flags.Float64Var(&f.values.Offset, "offset", 0, "see --scale")
	flags.StringVar(&f.delimiter, "delimiter", "auto", "between fields: auto, comma, semicolon, tab")
	flags.StringVar(&f.wire, "wire", "", "in a waveform capture (VCD): the name of the camera's wire")
	flags.Uint8Var(&f.system, "system", 0, "in telemetry: the number of the system to read (default: the one with most frames)")
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
		return wrongUsage(fmt.Errorf("--scale: found %q, want a number, %s", text, sim.OneOf(sim.ScaleNames)))
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
		return rigfile.File{}, wrongUsage(err)
	}
	return file, nil
}

// flight is one segment of a log, replayed.
type flight struct {
	File     string // as it was named
	Segment  int    // from 1
	Segments int    // of the file
	Replay   *sim.Replay
	Trace    *sim.Trace // nil unless asked for
	Findings []tell.Finding
	Known    *belief.Result // what is known of it, with what was seen
	Clips    []belief.Clip  // that were seen
	Reading  source.Summary // how the whole file was read
	// Given are the keys that the rig file set; nil if there was none.
	Given map[string]bool
}

// replayOptions say what replayLogs does beyond the chain.
type replayOptions struct {
	limits tell.Limits
	// seen is what somebody saw of the one flight that is replayed.
	seen belief.Observations
	// traceBins asks for the channel, reduced to so many stretches of time.
	traceBins int
}

// replayLogs replays every segment of the logs. A path of "-" is standard
// input.
func (a *app) replayLogs(paths []string, f *logFlags, opts replayOptions) ([]flight, error) {
	file, err := a.loadRigFor(f)
	if err != nil {
		return nil, err
	}
	var flights []flight
	for _, path := range paths {
		segments, err := a.replayLog(path, file.Rig, f, opts)
		if err != nil {
			return nil, err
		}
		for i := range segments {
			segments[i].Given = file.Given
		}
		flights = append(flights, segments...)
	}
	return flights, nil
}

// replayLog replays the segments of one log.
func (a *app) replayLog(path string, rig sim.Rig, f *logFlags, opts replayOptions) ([]flight, error) {
	thin := sim.NewThinning(rig)
	thin.Exact = opts.traceBins > 0
	log, err := a.openLog(path, f, rig, thin)
	if err != nil {
		return nil, err
	}
	defer log.Close()
	flights, err := replaySource(log, path, rig, opts)
	if err != nil {
		return nil, unreadableLog(err)
	}
	return flights, judge(flights, opts)
}

// unreadableLog marks an error in the reading of a log, with the flags that
// help where there are some.
func unreadableLog(err error) error {
	const (
		lenient = "--lenient skips what cannot be read, and takes a log that breaks off up to there"
		columns = "--time, --unit, --channel and --delimiter say how to read the log"
	)
	var place *chanlog.SyntaxError
	switch {
	case errors.Is(err, chanlog.ErrBreaksOff):
		return unreadable(err, lenient)
	case errors.As(err, &place) && place.Hint != "":
		return unreadable(err, columns)
	case errors.As(err, &place) && place.Text != "":
		return unreadable(err, lenient)
	}
	return unreadable(err)
}

// replaySource feeds a chain for each segment of a source.
func replaySource(src samples, name string, rig sim.Rig, opts replayOptions) ([]flight, error) {
	rig = src.Rig(rig)
	var flights []flight
	var chain *sim.Chain
	var kept extent // of the segments that are over
	finish := func() {
		if chain != nil {
			flights[len(flights)-1].Replay = chain.Finish()
			kept = kept.with(flights[len(flights)-1].Replay)
		}
	}
	for {
		block, err := src.Next()
		if err == io.EOF {
			finish()
			for i := range flights {
				flights[i].File, flights[i].Segments, flights[i].Reading = name, len(flights), src.Summary()
			}
			return flights, nil
		}
		if err != nil {
			return nil, err
		}
		if block.Segment > len(flights) {
			finish()
			chain = sim.NewChainFrom(src.Tap(), rig, rig.Camera.Window())
			flights = append(flights, flight{Segment: block.Segment})
			if opts.traceBins > 0 {
				flights[len(flights)-1].Trace = sim.NewTraceFrom(src.Tap(), rig, traceBinsOf(block.Segment, opts.traceBins))
			}
		}
		chain.Omit(block.Omitted)
		chain.FeedAll(block.Samples)
		if trace := flights[len(flights)-1].Trace; trace != nil {
			trace.FeedAll(block.Samples)
		}
		if err := kept.with(chain.SoFar()).check(name); err != nil {
			return nil, err
		}
	}
}
