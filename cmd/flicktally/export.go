package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/export"
	"flicktally/sim/flight"
	"flicktally/sim/source"
)

// exportFlags are the flags of export beyond those of every log.
type exportFlags struct {
	logFlags
	seen     seenFlags
	out      string
	force    bool
	what     string
	clip     string
	from, to clockFlag
	segment  int
}

// What can be exported, and by what ending of the file's name; the first of an
// ending is what it means alone.
var exports = []struct{ ending, what string }{
	{".csv", "takes"}, {".csv", "presses"}, {".csv", "log"},
	{".jsonl", "takes"}, {".jsonl", "presses"},
	{".vtt", "takes"}, {".vtt", "chapters"},
	{".vcd", "signals"},
}

func newExport(a *app) *cobra.Command {
	var flags exportFlags
	cmd := &cobra.Command{
		Use:   "export [flags] LOG -o FILE",
		Short: "Write takes, presses, signals or a part of a log for other programs",
		Long: `Export replays a log and writes what another program wants, by the file's
name and --what:

  FILE.csv    takes (default), presses, or log: the part of the log from --from
              to --to, as a log that every command reads
  FILE.jsonl  takes (default) or presses, one JSON object a line
  FILE.vtt    takes (default) as WebVTT cues, or chapters that cover the flight
  FILE.vcd    signals after every step of the chain, for a waveform viewer; its
              wire camera_wire replays to the same presses

Times count from the beginning of the log. For times of the clips on the card,
--clip 2 writes the cues of the second take with times of its clip, --clip all
one file for each take (FILE-clip1.vtt, FILE-clip2.vtt, ...); tables of presses
have both times.

The file is written whole or not at all, and over one that is there only with
--force.
` + seenHelp,
		Example: `  flicktally export flight.csv -o takes.csv
  flicktally export --what presses flight.csv -o presses.jsonl
  flicktally export --what chapters flight.csv -o flight.vtt
  flicktally export --clip all flight.csv -o flight.vtt
  flicktally export flight.csv -o flight.vcd
  flicktally export --what log --from 1:20 --to 1:40 flight.csv -o rounding.csv`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, logs []string) error {
			if err := flags.check(cmd.Flags().Changed); err != nil {
				return wrongUsage(err)
			}
			if flags.what == "log" {
				return a.exportCut(logs[0], &flags)
			}
			return a.export(logs[0], &flags)
		},
	}
	flags.add(cmd)
	return cmd
}

func (f *exportFlags) add(cmd *cobra.Command) {
	f.logFlags.add(cmd)
	f.seen.add(cmd)
	flags := cmd.Flags()
	flags.StringVarP(&f.out, "output", "o", "", "the `file` to write: its name ends in .csv, .jsonl, .vtt or .vcd")
	flags.BoolVar(&f.force, "force", false, "write over a file that is there")
	flags.StringVar(&f.what, "what", "", "what to write: takes, presses, log, chapters, signals")
	flags.StringVar(&f.clip, "clip", "", "cues of one take, by its number, or of all, with times of their clips")
	flags.Var(&f.from, "from", "begin the part of the log at this time")
	flags.Var(&f.to, "to", "end the part of the log at this time")
	flags.IntVar(&f.segment, "segment", 1, "of a log with several segments, the one to write; tables have all")
}

// check refuses flags that do not go together, before any log is read, and
// settles what to write.
func (f *exportFlags) check(given func(flag string) bool) error {
	if f.out == "" {
		return errors.New("found no file to write, want -o FILE")
	}
	ending := strings.ToLower(filepath.Ext(f.out))
	var endings, offered []string
	for _, e := range exports {
		if !slices.Contains(endings, e.ending) {
			endings = append(endings, e.ending)
		}
		if e.ending == ending {
			offered = append(offered, e.what)
		}
	}
	if len(offered) == 0 {
		return fmt.Errorf("found file %q, want a name that ends in %s", f.out, sim.OneOf(endings))
	}
	if f.what == "" {
		f.what = offered[0]
	}
	if !slices.Contains(offered, f.what) {
		return fmt.Errorf("found --what %q for %s, want %s", f.what, ending, sim.OneOf(offered))
	}
	if f.clip != "" && (ending != ".vtt" || f.what != "takes") {
		return fmt.Errorf("found --clip with %s of %s, want it with takes in a .vtt file", f.what, ending)
	}
	isCut := f.what == "log"
	if isCut && (given("seen") || given("clips")) {
		return errors.New("found --seen or --clips with a part of the log, want them with what a replay makes of it")
	}
	if !isCut && (given("from") || given("to")) {
		return fmt.Errorf("found --from or --to with %s, want them with --what log", f.what)
	}
	if given("to") && f.to < f.from {
		return fmt.Errorf("found --to %s, want a time not before --from %s", &f.to, &f.from)
	}
	if !given("to") {
		f.to = clockFlag(sim.Never)
	}
	return nil
}

// export writes what a replay yields.
func (a *app) export(log string, f *exportFlags) error {
	logs := []string{log}
	seen, err := f.seen.read(logs)
	if err != nil {
		return err
	}
	flights, err := a.replayLogs(logs, &f.logFlags, replayOptions{limits: sim.DefaultLimits(), seen: seen})
	if err != nil {
		return err
	}
	if format, ok := tableFormat(f.out); ok {
		write := export.Takes
		if f.what == "presses" {
			write = export.Presses
		}
		return writeFile(f.out, f.force, func(w io.Writer) error { return write(w, flights, format) })
	}
	if err := a.oneSegment(f.segment, len(flights), "written"); err != nil {
		return err
	}
	one := &flights[f.segment-1]
	if f.clip != "" {
		return exportClips(one, f)
	}
	write := map[string]func(io.Writer, *flight.Flight) error{
		"takes": export.Cues, "chapters": export.Chapters, "signals": export.Waveform,
	}[f.what]
	return writeFile(f.out, f.force, func(w io.Writer) error { return write(w, one) })
}

// tableFormat returns the format of a table by the file's name.
func tableFormat(path string) (export.Format, bool) {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".csv":
		return export.CSV, true
	case ".jsonl":
		return export.JSONLines, true
	default:
		return "", false
	}
}

// exportClips writes the cues of one clip, or of every clip into a file of its
// own.
func exportClips(one *flight.Flight, f *exportFlags) error {
	takes := one.Replay.Takes
	if len(takes) == 0 {
		return errors.New("found no take in the log, want one or more for --clip")
	}
	if f.clip == "all" {
		var outputs []output
		ending := filepath.Ext(f.out)
		for _, t := range takes {
			path := fmt.Sprintf("%s-clip%d%s", strings.TrimSuffix(f.out, ending), t.N, ending)
			outputs = append(outputs, output{path, func(w io.Writer) error { return export.ClipCues(w, one, t) }})
		}
		return writeFiles(outputs, f.force)
	}
	n, err := strconv.Atoi(f.clip)
	if err != nil || n < 1 || n > len(takes) {
		return wrongUsage(fmt.Errorf("found --clip %q, want a number from 1 to %d, or all", f.clip, len(takes)))
	}
	return writeFile(f.out, f.force, func(w io.Writer) error { return export.ClipCues(w, one, takes[n-1]) })
}

// exportCut writes a part of a log as a log that says itself how it is read,
// whatever rig is there.
func (a *app) exportCut(log string, f *exportFlags) error {
	file, err := a.loadRigFor(&f.logFlags)
	if err != nil {
		return err
	}
	src, err := a.openLog(log, &f.logFlags, file.Rig, sim.Thinning{})
	if err != nil {
		return err
	}
	defer src.Close()
	return writeFile(f.out, f.force, func(w io.Writer) error {
		record := source.NewRecorder(w, src.Tap(), src.Rig(file.Rig))
		segments, err := cutLog(record, src, f)
		if err != nil {
			return err
		}
		return a.oneSegment(f.segment, segments, "written")
	})
}

// cutLog reads one segment of a log and writes the part that is wanted. It
// returns how many segments the log has.
func cutLog(record *source.Recorder, src flight.Source, f *exportFlags) (segments int, err error) {
	cut := export.NewCut(sim.Span{From: sim.Micros(f.from), To: sim.Micros(f.to)}, func(s sim.Sample) error {
		return record.Write(sim.Block{Segment: 1, Samples: []sim.Sample{s}})
	})
	for {
		block, err := src.Next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return 0, unreadableLog(err)
		}
		segments = block.Segment
		if block.Segment != f.segment {
			continue
		}
		for _, s := range block.Samples {
			if err := cut.Feed(s); err != nil {
				return 0, err
			}
		}
	}
	return segments, cut.Finish()
}
