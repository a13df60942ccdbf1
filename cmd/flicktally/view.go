package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"flicktally/plot"
	"flicktally/plot/figures"
	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
	"flicktally/trainer/term"
	"flicktally/trainer/viewer"
)

// viewBins is the resolution of the channel in the viewer: 4 MB whatever the
// length of the log (a later segment gets a part of it), a bin of at most 28 ms
// in an hour.
const viewBins = 1 << 18

type viewFlags struct {
	flightFlags
	from, to sim.Micros
	print    bool
}

func newView(a *app) *cobra.Command {
	var flags viewFlags
	cmd := &cobra.Command{
		Use:   "view LOG",
		Short: "Look at a replayed log in the terminal",
		Long: `View shows a replayed log as lanes over time: findings with their letters, what
the camera did, takes, flicks with their outcomes, the channel and the signals of
the chain, armed time. Move the cursor with the arrow keys, go to the next
edge, flick, take or finding with e, p, t, f, and zoom with + and -. The marks
"from" (1) and "to" (2) measure the time and the flicks between them; w writes what
is visible as a chart into the working folder. ? lists all keys.

Without a screen, or with --print, it prints the same picture as text.
` + seenHelp,
		Example: `  flicktally view flight.csv
  flicktally view --rig heron.toml --from 1:20 --to 1:40 flight.csv
  flicktally view --print flight.csv`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, paths []string) error { return a.view(paths, &flags) },
	}
	flags.add(cmd)
	return cmd
}

func (f *viewFlags) add(cmd *cobra.Command) {
	f.flightFlags.add(cmd)
	flags := cmd.Flags()
	addClock(flags, &f.from, "from", "open the view at this time")
	addClock(flags, &f.to, "to", "open the view up to this time")
	flags.BoolVar(&f.print, "print", false, "print the picture as text instead of opening a screen")
}

// view replays the log and shows it.
func (a *app) view(paths []string, f *viewFlags) error {
	flights, err := a.replayLogs(paths, &f.flightFlags, logs.Options{Options: flight.Options{TraceBins: viewBins}})
	if err != nil {
		return err
	}
	span, err := f.span(flights[0].Replay)
	if err != nil {
		return problem.WrongUsage(err)
	}
	a.talk.noteOddities(flights)
	screen := viewer.New(flights, func(log int, s sim.Span) (string, error) {
		return a.saveSpan(&flights[log], s)
	})
	screen.Show(span)
	return a.show(screen, f.print)
}

// span returns the initially visible stretch.
func (f *viewFlags) span(r *sim.Replay) (sim.Span, error) {
	span := sim.Span{From: f.from, To: r.End + 1}
	if f.given("to") {
		span.To = f.to
	}
	if span.From > r.End {
		return span, fmt.Errorf("found --from %s, want a time before the log ends at %s", f.from.FineClock(), r.End.FineClock())
	}
	if span.To <= span.From {
		return span, errEmptySpan(f.from, f.to)
	}
	return span, nil
}

// show runs a program on the terminal. If there is no screen or the output goes
// elsewhere, it prints the first picture.
func (a *app) show(p term.Program, printed bool) error {
	if !printed && a.talk.outTTY {
		err := term.Run(p)
		var noScreen *term.NoScreenError
		if !errors.As(err, &noScreen) {
			return err
		}
		a.talk.note("%v; printed instead", err)
	}
	width, height := a.talk.screenSize()
	_, err := io.WriteString(a.talk.out, term.Print(p, width, height, term.GlyphsFor(term.Charset(os.Getenv))))
	return err
}

// saveSpan writes the timing chart of a stretch into the working folder, named
// by log and stretch. It overwrites nothing.
func (a *app) saveSpan(f *flight.Flight, span sim.Span) (string, error) {
	chart, err := figures.Timing(f, plot.TimingView{Span: span})
	if err != nil {
		return "", err
	}
	name := flight.BaseName(f.File)
	name = fmt.Sprintf("%s_%s-%s.svg", strings.TrimSuffix(name, filepath.Ext(name)), span.From.FineClock(), span.To.FineClock())
	name = strings.ReplaceAll(name, ":", "m")
	return name, a.writeChart(name, false, chart)
}
