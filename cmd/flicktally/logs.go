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
	"flicktally/sim/tell"
)

// logFlags are the flags of every command that reads logs: the rig, and how the
// logs are read.
type logFlags struct {
	rig    string
	how    logs.How
	values sim.LogSpec            // of the given flags
	given  func(name string) bool // reports whether a flag was given
}

func (f *logFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.rig, "rig", "", rigUsage)
	f.addReading(cmd)
}

// addReading adds all flags except --rig.
func (f *logFlags) addReading(cmd *cobra.Command) {
	flags, v := cmd.Flags(), &f.values
	flags.StringVar(&v.Time, "time", "", "the log's time `column`: its header, or \"#1\" for the first")
	flags.StringVar((*string)(&v.Unit), "unit", "", "`unit` of the time column: auto, us, ms, s, ns, min, h; or of a waveform capture that names none")
	flags.StringVar(&v.Channel, "channel", "", "the log's channel `column`: its header, or \"#7\"")
	flags.StringVar(&v.Armed, "armed", "", "the `column` that shows when the craft is armed")
	flags.StringVar(&v.Failsafe, "failsafe", "", "the `column` that shows when the receiver had lost the signal")
	flags.StringSliceVar(&v.Words, "words", nil, "cells with one of these `words` count as 2000 µs, all others as 1000")
	flags.StringSliceVar(&v.ArmedWords, "armed-words", nil, "the same `words` for the armed column")
	flags.Func("scale", "µs = value · `scale` + offset (default 1); or percent, unit, counts, serial", f.setScale)
	flags.Float64Var(&v.Offset, "offset", 0, "see --scale")
	addValue(flags, &f.how.Delimiter, "delimiter", "character", "the character between fields: auto (the default), comma, semicolon, tab, bar, spaces",
		chanlog.ParseDelimiter, chanlog.Delimiter.String)
	flags.StringVar(&f.how.Wire, "wire", "", "in a waveform capture (VCD): the `name` of the camera's wire")
	flags.Uint8Var(&f.how.System, "system", 0, "in telemetry: the `number` of the system to read (default: the one with most frames)")
	flags.BoolVar(&f.how.Lenient, "lenient", false, "skip and count lines that cannot be read, instead of stopping")
	f.given = flags.Changed
}

// setScale sets the scale to a number or a name.
func (f *logFlags) setScale(text string) error {
	if name := sim.ScaleName(text); slices.Contains(sim.ScaleNames, name) {
		f.values.ScaleName = name
		return nil
	}
	number, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return fmt.Errorf("found %q, want a number, %s", text, sim.OneOf(sim.ScaleNames))
	}
	f.values.Scale, f.values.ScaleName = number, ""
	return nil
}

// override replaces the rig's settings by the given flags. A named scale drops
// the rig's offset.
func (f *logFlags) override(spec *sim.LogSpec) {
	v := &f.values
	for name, replace := range map[string]func(){
		"time":        func() { spec.Time = v.Time },
		"unit":        func() { spec.Unit = v.Unit },
		"channel":     func() { spec.Channel = v.Channel },
		"armed":       func() { spec.Armed = v.Armed },
		"failsafe":    func() { spec.Failsafe = v.Failsafe },
		"words":       func() { spec.Words = v.Words },
		"armed-words": func() { spec.ArmedWords = v.ArmedWords },
		"offset":      func() { spec.Offset = v.Offset },
		"scale": func() {
			spec.ScaleName = v.ScaleName
			if v.ScaleName == "" {
				spec.Scale = v.Scale
			} else {
				spec.Offset = v.Offset
			}
		},
	} {
		if f.given(name) {
			replace()
		}
	}
}

// loadRigFor returns the rig with the flags' overrides, checked.
func (a *app) loadRigFor(f *logFlags) (rigfile.File, error) {
	file, err := a.loadRig(f.rig)
	if err != nil {
		return rigfile.File{}, err
	}
	f.override(&file.Rig.Log)
	if err := file.Rig.Validate(); err != nil {
		return rigfile.File{}, problem.WrongUsage(err)
	}
	return file, nil
}

// how returns how to read logs by the flags.
func (a *app) how(f *logFlags) logs.How {
	how := f.how
	how.NoRig = a.noRig
	return how
}

// replayWith replays every segment of the logs with a rig. Zero limits are the
// default ones.
func (a *app) replayWith(rig sim.Rig, paths []string, f *logFlags, opts logs.Options) ([]flight.Flight, error) {
	if opts.Limits == (tell.Limits{}) {
		opts.Limits = tell.DefaultLimits()
	}
	return a.logs.Replay(paths, rig, a.how(f), opts)
}

// flightFlags are the flags of commands that replay logs together with what was
// seen of their flights.
type flightFlags struct {
	logFlags
	seen seenFlags
}

func (f *flightFlags) add(cmd *cobra.Command) {
	f.logFlags.add(cmd)
	f.seen.add(cmd)
}

// replayLogs replays every segment of the logs with the rig of the flags.
func (a *app) replayLogs(paths []string, f *flightFlags, opts logs.Options) ([]flight.Flight, error) {
	file, err := a.loadRigFor(&f.logFlags)
	if err != nil {
		return nil, err
	}
	return a.replaySeen(file.Rig, paths, f, opts)
}

// replaySeen replays every segment of the logs with a rig, and applies what was
// seen of their flights.
func (a *app) replaySeen(rig sim.Rig, paths []string, f *flightFlags, opts logs.Options) (flights []flight.Flight, err error) {
	if opts.Seen, err = a.readSeen(&f.seen, paths); err != nil {
		return nil, err
	}
	return a.replayWith(rig, paths, &f.logFlags, opts)
}

// seenFlags are the flags for what somebody saw of a flight.
type seenFlags struct {
	glances []string
	clips   clipFlags
}

// seenHelp explains the flags in the help of a command.
const seenHelp = `
If the rig gives min_press or long_press as a range, or an unknown start, the
likeliest history is shown, doubtful presses are marked, and the chance of
recording is given for every moment. What was seen of the camera narrows that
down, and may overrule the log ([doubt] in the rig). --seen gives a glance at its
light, --clips the clips on its card: the card's folder, or single video files
(MP4, MOV; only their headers are read, and nothing is written), or a list (CSV:
duration, and start and name if you have them). Files that the camera split are
joined; in a list every clip is whole.`

func (f *seenFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringArrayVar(&f.glances, "seen", nil, "what the camera's light showed: `TIME=recording`, standby or off, with several logs LOG@TIME=…; may be repeated")
	f.clips.add(flags)
}

// clipFlags are the flags for the clips on the camera's card.
type clipFlags struct {
	paths     []string
	clipError sim.Micros
}

func (f *clipFlags) add(flags *pflag.FlagSet) {
	flags.StringArrayVar(&f.paths, "clips", nil, "the `folder` of the camera's card, a video file, or a list of clips (CSV; - is standard input); may be repeated")
	addClipError(flags, &f.clipError)
}

// addClipError adds --clip-error.
func addClipError(flags *pflag.FlagSet, clipError *sim.Micros) {
	*clipError = sim.Second
	addDuration(flags, clipError, "clip-error", "by how much a clip's duration, or the time between two starts, may be off")
}

// readSeen returns what was seen of the flights of the logs.
func (a *app) readSeen(f *seenFlags, paths []string) (logs.Seen, error) {
	seen := logs.Seen{ClipError: f.clips.clipError}
	for _, text := range f.glances {
		if err := seen.AddGlance(text, paths); err != nil {
			return seen, problem.WrongUsage(fmt.Errorf("--seen: %w", err))
		}
	}
	var err error
	seen.Clips, err = a.logs.Clips(f.clips.paths)
	return seen, err
}

// noteOddities notes what was odd in the logs.
func (t *talk) noteOddities(flights []flight.Flight) {
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
func (a *app) oneSegment(number, segments int, use string) error {
	if number < 1 || number > segments {
		return problem.WrongUsage(fmt.Errorf("found --segment %d, want 1 to %d: the log has %s", number, segments, tell.Counted(segments, "segment", "segments")))
	}
	if segments > 1 {
		a.talk.note("segment %d of %d is %s (another with --segment)", number, segments, use)
	}
	return nil
}
