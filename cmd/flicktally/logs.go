package main

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"flicktally/sim"
	"flicktally/sim/chanlog"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
)

// logFlags are the flags of every command that reads logs: the rig, and the
// places of the numbers in a log.
type logFlags struct {
	rig       string
	delimiter string
	wire      string
	system    uint8
	lenient   bool
	values    sim.LogSpec            // of the given flags
	unit      string                 // of values
	scale     string                 // of values
	given     func(name string) bool // whether a flag was given
}

func (f *logFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.rig, "rig", "", rigUsage)
	f.addReading(cmd)
}

// addReading adds all flags except --rig.
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

// override replaces the rig's settings by the given flags.
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

// overrideScale takes the scale from the flags, which also drops the rig file's
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

// how returns how to read logs by the flags.
func (a *app) how(f *logFlags) (logs.How, error) {
	delimiter, err := chanlog.ParseDelimiter(f.delimiter)
	if err != nil {
		return logs.How{}, problem.WrongUsage(fmt.Errorf("--delimiter: %w", err))
	}
	return logs.How{Delimiter: delimiter, Lenient: f.lenient, Wire: f.wire, System: f.system, NoRig: a.noRig}, nil
}

// replayLogs replays every segment of the logs with the rig of the flags.
func (a *app) replayLogs(paths []string, f *logFlags, opts logs.Options) ([]flight.Flight, error) {
	file, err := a.loadRigFor(f)
	if err != nil {
		return nil, err
	}
	return a.replayWith(file.Rig, paths, f, opts)
}

// replayWith replays every segment of the logs with a rig.
func (a *app) replayWith(rig sim.Rig, paths []string, f *logFlags, opts logs.Options) ([]flight.Flight, error) {
	how, err := a.how(f)
	if err != nil {
		return nil, err
	}
	return a.logs.Replay(paths, rig, how, opts)
}

// seenFlags are the flags for what somebody saw of a flight.
type seenFlags struct {
	glances []string
	clips   clipFlags
}

// seenHelp explains the flags in the help of a command.
const seenHelp = `
Where the rig gives min_press or long_press as a range, or an unknown start, the
likeliest history is shown, doubtful presses are marked, and the chance
of recording is given for every moment. What was seen of the camera narrows that
down, and may overrule what the log says ([doubt] in the rig). --seen gives a
look at its light, --clips what is on its card: the card's folder, or single video
files (MP4, MOV; only their headers are read, and nothing is written), or a list
(CSV: duration, and if you have it start and name). Parts that the camera split are
joined; in a list every file is whole.`

func (f *seenFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringArrayVar(&f.glances, "seen", nil, "what the camera's light showed: `TIME=recording`, standby or off, with several logs LOG@TIME=…; may be repeated")
	f.clips.add(flags)
}

// clipFlags are the flags for the clips on the camera's card.
type clipFlags struct {
	paths     []string
	clipError durationFlag
}

func (f *clipFlags) add(flags *pflag.FlagSet) {
	flags.StringArrayVar(&f.paths, "clips", nil, "the `folder` of the camera's card, a video file, or a list of clips (CSV; - is standard input); may be repeated")
	f.clipError = durationFlag(sim.Second)
	flags.Var(&f.clipError, "clip-error", "by how much a clip's duration, and the time between two starts, may be off")
}

// readSeen returns the observations for the logs to be replayed.
func (a *app) readSeen(f *seenFlags, paths []string) (logs.Seen, error) {
	seen := logs.Seen{ClipError: sim.Micros(f.clips.clipError)}
	for _, text := range f.glances {
		if err := seen.AddGlance(text, paths); err != nil {
			return seen, problem.WrongUsage(fmt.Errorf("--seen: %w", err))
		}
	}
	var err error
	seen.Clips, err = a.logs.Clips(f.clips.paths)
	return seen, err
}

// tellOddities notes what was odd in the logs.
func (t *talk) tellOddities(flights []flight.Flight) {
	for _, f := range flights {
		if f.Segment > 1 {
			continue
		}
		for _, oddity := range f.Reading.Odd {
			t.note("%s: %s", excerpt.Printable(f.File), oddity)
		}
	}
}

// oneSegment refuses a segment that a log does not have. If there are several,
// it notes which one is used, and for what.
func (a *app) oneSegment(number, segments int, is string) error {
	if number < 1 || number > segments {
		return problem.WrongUsage(fmt.Errorf("found --segment %d, want one of the %d in the log", number, segments))
	}
	if segments > 1 {
		a.talk.note("segment %d of %d is %s (another with --segment)", number, segments, is)
	}
	return nil
}
