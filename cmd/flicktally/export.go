package main

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/export"
	"flicktally/sim/problem"
)

type exportFlags struct {
	outputFlags
	flightFlags
	kind     string
	format   string // of exportFormats
	clip     string
	rate     string
	from, to sim.Micros
	segment  int // 0 = all
}

// exportFormats lists the formats by their file extensions, and what can be written
// in them. The first kind of a format is its default, and the first format of a kind
// its default.
var exportFormats = []struct {
	name  string
	kinds []string
}{
	{"csv", []string{"takes", "presses", "log"}},
	{"jsonl", []string{"takes", "presses"}},
	{"vtt", []string{"takes", "chapters"}},
	{"edl", []string{"edits"}},
	{"vcd", []string{"signals"}},
}

func newExport(a *app) *cobra.Command {
	var flags exportFlags
	cmd := &cobra.Command{
		Use:   "export LOG... -o FILE",
		Short: "Write takes, presses, signals or a part of a log for other programs",
		Long: `Export replays logs and writes files for other programs, by the file name and
--kind:

  FILE.csv    takes (default), presses, or log: the part of one log from --from
              to --to, as a log that every command reads
  FILE.jsonl  takes (default) or presses, one JSON object per line
  FILE.vtt    takes (default) as WebVTT cues, or chapters that cover the flight
  FILE.edl    edits: the clips in order, as an edit decision list (SMPTE 258M);
              --rate is the frame rate of your clips
  FILE.vcd    signals after every stage of the chain, for a waveform viewer; its
              wire camera_wire replays to the same presses
  -           standard output, in the default format of --kind, or in --format

Times count from the start of the log; in cues and chapters, several logs or
segments are put end to end. With --clips, clips have the names of their files.
For times within the clips on the card, --clip 2 writes the cues of the second
take with the times of its clip, and --clip all writes one file per clip into the
folder of FILE: named after the clip, so that a player finds it (LAKE0001.vtt), or
FILE-clip1.vtt if the clip is unknown. Tables of presses have both times.

A file is written whole or not at all, and an existing one is overwritten only
with --force.
` + seenHelp,
		Example: `  flicktally export flight.csv -o takes.csv
  flicktally export --kind presses flight.csv -o presses.jsonl
  flicktally export --kind chapters flight.csv -o flight.vtt
  flicktally export --clip all --clips /media/card flight.csv -o flight.vtt
  flicktally export --clips /media/card --rate 50 flight.csv -o flight.edl
  flicktally export flight.csv -o flight.vcd
  flicktally export --kind presses monday.csv tuesday.csv -o -
  flicktally export --kind log --from 1:20 --to 1:40 flight.csv -o rounding.csv`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, logs []string) error {
			if err := flags.check(logs); err != nil {
				return problem.WrongUsage(err)
			}
			if flags.kind == "log" {
				return a.exportCut(logs[0], &flags)
			}
			return a.export(logs, &flags)
		},
	}
	flags.add(cmd)
	return cmd
}

func (f *exportFlags) add(cmd *cobra.Command) {
	f.flightFlags.add(cmd)
	flags := cmd.Flags()
	f.outputFlags.add(flags, "the `file` to write: its name ends in .csv, .jsonl, .vtt, .edl or .vcd; - is standard output")
	flags.StringVar(&f.kind, "kind", "", "what to write: takes, presses, log, chapters, edits, signals")
	flags.StringVar(&f.format, "format", "", "the format on standard output: csv, jsonl, vtt, edl, vcd")
	flags.StringVar(&f.clip, "clip", "", "write the cues of the take with this number, or of all takes, with times of their clips")
	flags.StringVar(&f.rate, "rate", "30", "frames per second, for edits: 23.976, 24, 25, 29.97, 30, 50, 59.94, 60")
	addClock(flags, &f.from, "from", "start the part of the log at this time")
	addClock(flags, &f.to, "to", "end the part of the log at this time")
	flags.IntVar(&f.segment, "segment", 0, "of a log with several segments, the one to write (default: all; with --kind log, the first)")
}

// check refuses flags that do not go together, before any log is read, and
// decides what to write in which form.
func (f *exportFlags) check(logs []string) error {
	if f.out == "" {
		return errors.New("found no file to write, want -o FILE, or -o - for standard output")
	}
	if err := f.settleFormat(); err != nil {
		return err
	}
	isCut := f.kind == "log"
	switch {
	case f.clip != "" && (f.format != "vtt" || f.kind != "takes"):
		return fmt.Errorf("found --clip with --kind %s as .%s, want it with takes in a .vtt file", f.kind, f.format)
	case f.clip == "all" && f.out == "-":
		return errors.New("found --clip all with standard output, want the name of a file, or --clip with a number")
	case isCut && (f.given("seen") || f.given("clips")):
		return errors.New("found --seen or --clips with --kind log, want them with another --kind")
	case !isCut && (f.given("from") || f.given("to")):
		return fmt.Errorf("found --from or --to with --kind %s, want them with --kind log", f.kind)
	case f.given("to") && f.to < f.from:
		return errEmptySpan(f.from, f.to)
	case len(logs) > 1 && isCut:
		return fmt.Errorf("found %d logs, want one for --kind log", len(logs))
	case len(logs) > 1 && f.given("segment"):
		return fmt.Errorf("found %d logs, want one for --segment", len(logs))
	}
	if !f.given("to") {
		f.to = sim.Never
	}
	_, err := export.ParseRate(f.rate)
	return err
}

// settleFormat decides what to write in which format, by --kind, --format and the
// file name.
func (f *exportFlags) settleFormat() error {
	var names []string
	found := -1
	for i, format := range exportFormats {
		names = append(names, format.name)
		switch {
		case f.format == "" && f.out == "-" && found < 0 && (f.kind == "" || slices.Contains(format.kinds, f.kind)),
			strings.EqualFold(format.name, f.format),
			f.format == "" && strings.EqualFold("."+format.name, filepath.Ext(f.out)):
			found = i
		}
	}
	switch {
	case found >= 0:
	case f.format != "":
		return fmt.Errorf("found --format %q, want %s", f.format, sim.OneOf(names))
	case f.out == "-":
		found = 0
	default:
		return fmt.Errorf("found file %q, want a name that ends in .%s", f.out, strings.Join(names, ", ."))
	}
	format := exportFormats[found]
	f.format, f.kind = format.name, cmp.Or(f.kind, format.kinds[0])
	if !slices.Contains(format.kinds, f.kind) {
		return fmt.Errorf("found --kind %q for .%s, want %s", f.kind, format.name, sim.OneOf(format.kinds))
	}
	return nil
}
