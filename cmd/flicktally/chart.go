package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"flicktally/plot"
	"flicktally/plot/figures"
	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
	"flicktally/sim/tell"
)

// chartFlags are the flags of chart beyond those of every log.
type chartFlags struct {
	pictureFlags
	logFlags
	seen     seenFlags
	kind     string
	from, to clockFlag
	press    int
	segment  int
	size     string
}

// The kinds of charts.
const (
	chartTiming = "timing"
	chartHolds  = "holds"
	chartTakes  = "takes"
)

func newChart(a *app) *cobra.Command {
	var flags chartFlags
	cmd := &cobra.Command{
		Use:   "chart LOG... -o FILE",
		Short: "Draw a log as a timing chart, its holds, or the takes of several logs",
		Long: `Chart replays logs and draws them into a PNG, SVG or PDF file, by the file name.

  --kind timing   the channel, the signals of every step of the chain, presses
                  with their holds and long-press deadlines, the camera, takes,
                  and findings keyed to their text. One log; --from and --to cut
                  out a part, --press shows one press close up in its window.
  --kind holds    how long the presses were held, over the press window. All
                  logs together.
  --kind takes    the takes of all logs, one below the other.

Equal logs and rigs give equal files. Things that fall on one pixel are drawn as
one block, and the chart says so.
` + seenHelp,
		Example: `  flicktally chart flight.csv -o flight.png
  flicktally chart --from 1:20 --to 1:40 --dark flight.csv -o rounding.svg
  flicktally chart --press 3 flight.csv -o press3.pdf
  flicktally chart --kind holds monday.csv tuesday.csv -o holds.png
  flicktally chart --kind takes monday.csv tuesday.csv -o takes.svg`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, paths []string) error {
			if err := flags.check(paths, cmd.Flags().Changed); err != nil {
				return problem.WrongUsage(err)
			}
			chart, err := a.drawChart(paths, &flags)
			if err != nil {
				return err
			}
			return a.writeChart(flags.out, flags.force, chart)
		},
	}
	flags.add(cmd)
	return cmd
}

func (f *chartFlags) add(cmd *cobra.Command) {
	f.logFlags.add(cmd)
	f.seen.add(cmd)
	flags := cmd.Flags()
	f.pictureFlags.add(flags, "the `file` to draw: its name ends in .png, .svg or .pdf")
	flags.StringVar(&f.kind, "kind", chartTiming, "what to draw: timing, holds, takes")
	flags.Var(&f.from, "from", "begin at this time of the log")
	flags.Var(&f.to, "to", "end at this time of the log")
	flags.IntVar(&f.press, "press", 0, "show the press with this number close up")
	flags.IntVar(&f.segment, "segment", 1, "of a log with several segments, the one to draw")
	flags.StringVar(&f.size, "size", "", "WIDTHxHEIGHT or WIDTH in pixels (default 1200, as high as needed)")
}

// check refuses flags that do not go together, before any log is read.
func (f *chartFlags) check(paths []string, given func(flag string) bool) error {
	if f.out == "" {
		return errors.New("found no file to draw, want -o FILE")
	}
	switch f.kind {
	case chartTiming:
		if len(paths) > 1 {
			return fmt.Errorf("found %d logs, want one for a timing chart", len(paths))
		}
		if given("press") && f.press < 1 {
			return fmt.Errorf("found --press %d, want a number from 1 on", f.press)
		}
		if given("to") && f.to <= f.from {
			return fmt.Errorf("found --to %s, want a time after --from %s", &f.to, &f.from)
		}
	case chartHolds, chartTakes:
		for _, flag := range []string{"from", "to", "press", "segment"} {
			if given(flag) {
				return fmt.Errorf("found --%s with --kind %s, want it with a timing chart only", flag, f.kind)
			}
		}
	default:
		return fmt.Errorf("found --kind %q, want timing, holds or takes", f.kind)
	}
	_, err := chartFormat(f.out)
	return err
}

// drawChart replays the logs and lays out the chart.
func (a *app) drawChart(paths []string, f *chartFlags) (*plot.Chart, error) {
	look := plot.Look{Dark: f.dark}
	if f.size != "" {
		size, err := plot.ParseSize(f.size)
		if err != nil {
			return nil, problem.WrongUsage(err)
		}
		look.Size = size
	}
	seen, err := a.readSeen(&f.seen, paths)
	if err != nil {
		return nil, err
	}
	opts := logs.Options{Limits: tell.DefaultLimits(), Seen: seen}
	if f.kind == chartTiming {
		opts.Options = f.traceOptions()
	}
	flights, err := a.replayLogs(paths, &f.logFlags, opts)
	if err != nil {
		return nil, err
	}
	switch f.kind {
	case chartHolds:
		return usable(figures.Holds(flights, look))
	case chartTakes:
		return usable(figures.Takes(flights, look))
	default:
		return a.timingChart(flights, f, look)
	}
}

// usable marks an error in a chart's layout as wrong usage.
func usable(chart *plot.Chart, err error) (*plot.Chart, error) {
	if err != nil {
		return nil, problem.WrongUsage(err)
	}
	return chart, nil
}

// writeChart writes a chart into a file, in the format of the file name.
func (a *app) writeChart(path string, force bool, chart *plot.Chart) error {
	format, err := chartFormat(path)
	if err != nil {
		return problem.WrongUsage(err)
	}
	return a.files.Write(path, force, func(w io.Writer) error { return plot.Write(w, chart, format) })
}

// chartFormat returns the format of a chart by the file name. On standard
// output, "-", it is SVG.
func chartFormat(path string) (plot.Format, error) {
	if path == "-" {
		return plot.SVG, nil
	}
	return plot.FormatOf(path)
}

// The resolution of the channel's trace: twice that of the widest chart, and
// more if the part to show is not known before the log is read (16 MB, 3.4 ms
// in an hour).
const (
	chartBins = 2 * plot.MaxSide
	closeBins = 1 << 20
)

// traceOptions returns how the pass keeps the channel for a timing chart.
func (f *chartFlags) traceOptions() flight.Options {
	switch {
	case f.to > 0:
		return flight.Options{TraceBins: chartBins, TraceWithin: sim.Span{From: sim.Micros(f.from), To: sim.Micros(f.to)}}
	case f.from > 0 || f.press > 0:
		return flight.Options{TraceBins: closeBins}
	default:
		return flight.Options{TraceBins: chartBins}
	}
}

// timingChart draws one segment of a log.
func (a *app) timingChart(flights []flight.Flight, f *chartFlags, look plot.Look) (*plot.Chart, error) {
	if err := a.oneSegment(f.segment, len(flights), "drawn"); err != nil {
		return nil, err
	}
	one := &flights[f.segment-1]
	view := plot.TimingView{Look: look, Press: f.press}
	if f.from > 0 || f.to > 0 {
		view.Span = sim.Span{From: sim.Micros(f.from), To: sim.Micros(f.to)}
		if f.to == 0 {
			view.Span.To = one.Replay.End
		}
	}
	return usable(figures.Timing(one, view))
}
