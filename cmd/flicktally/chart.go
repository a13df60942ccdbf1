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
)

type chartFlags struct {
	pictureFlags
	flightFlags
	kind     string
	from, to sim.Micros
	press    int
	segment  int
	size     plot.Size
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

  --kind timing   the channel, the signals of every stage of the chain, presses
                  with their holds, the camera, takes, and findings keyed to
                  their text. One log; --from and --to cut
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
		RunE: func(_ *cobra.Command, paths []string) error {
			if err := flags.check(paths); err != nil {
				return problem.WrongUsage(err)
			}
			flights, err := a.replayLogs(paths, &flags.flightFlags, logs.Options{Options: flags.traceOptions()})
			if err != nil {
				return err
			}
			return a.draw(&flags.pictureFlags, func(look plot.Look) (*plot.Chart, error) {
				look.Size = flags.size
				switch flags.kind {
				case chartHolds:
					return figures.Holds(flights, look)
				case chartTakes:
					return figures.Takes(flights, look)
				default:
					return a.timingChart(flights, &flags, look)
				}
			})
		},
	}
	flags.add(cmd)
	return cmd
}

func (f *chartFlags) add(cmd *cobra.Command) {
	f.flightFlags.add(cmd)
	flags := cmd.Flags()
	f.pictureFlags.add(flags, "the `file` to draw: its name ends in .png, .svg or .pdf")
	flags.StringVar(&f.kind, "kind", chartTiming, "what to draw: timing, holds, takes")
	addClock(flags, &f.from, "from", "start at this time of the log")
	addClock(flags, &f.to, "to", "end at this time of the log")
	flags.IntVar(&f.press, "press", 0, "zoom in on the press with this number")
	flags.IntVar(&f.segment, "segment", 1, "of a log with several segments, the one to draw")
	flags.Func("size", "`WIDTHxHEIGHT` or WIDTH in pixels (default 1200, as high as needed)", func(text string) (err error) {
		f.size, err = plot.ParseSize(text)
		return err
	})
}

// check refuses flags that do not go together, before any log is read.
func (f *chartFlags) check(paths []string) error {
	if f.out == "" {
		return errors.New("found no file to draw, want -o FILE")
	}
	switch f.kind {
	case chartTiming:
		if len(paths) > 1 {
			return fmt.Errorf("found %d logs, want one for a timing chart", len(paths))
		}
		if f.given("press") && f.press < 1 {
			return fmt.Errorf("found --press %d, want 1 or more", f.press)
		}
		if f.given("to") && f.to <= f.from {
			return errEmptySpan(f.from, f.to)
		}
	case chartHolds, chartTakes:
		for _, flag := range []string{"from", "to", "press", "segment"} {
			if f.given(flag) {
				return fmt.Errorf("found --%s with --kind %s, want it with a timing chart only", flag, f.kind)
			}
		}
	default:
		return fmt.Errorf("found --kind %q, want timing, holds or takes", f.kind)
	}
	return f.pictureFlags.check()
}

// errEmptySpan says that a span ends before it starts.
func errEmptySpan(from, to sim.Micros) error {
	return fmt.Errorf("found --to %s, want a time after --from %s", to.FineClock(), from.FineClock())
}

// check refuses a file name that names no format.
func (f *pictureFlags) check() error {
	if f.out == "" {
		return nil
	}
	_, err := chartFormat(f.out)
	return err
}

// draw draws a chart into the file of -o, if one is named. A chart that cannot
// be laid out is wrong usage.
func (a *app) draw(f *pictureFlags, layOut func(plot.Look) (*plot.Chart, error)) error {
	if f.out == "" {
		return nil
	}
	chart, err := layOut(plot.Look{Dark: f.dark})
	if err != nil {
		return problem.WrongUsage(err)
	}
	return a.writeChart(f.out, f.force, chart)
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
	case f.kind != chartTiming:
		return flight.Options{}
	case f.to > 0:
		return flight.Options{TraceBins: chartBins, TraceWithin: sim.Span{From: f.from, To: f.to}}
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
		view.Span = sim.Span{From: f.from, To: f.to}
		if f.to == 0 {
			view.Span.To = one.Replay.End
		}
	}
	return figures.Timing(one, view)
}
