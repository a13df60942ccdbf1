package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	xterm "golang.org/x/term"

	"flicktally/plot"
	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/trainer/term"
)

// viewBins is how finely the viewer keeps the channel: 4 MB whatever the length
// of the log, a bin of at most 28 ms in an hour.
const viewBins = 1 << 18

func newView(a *app) *cobra.Command {
	var (
		flags    logFlags
		from, to clockFlag
		printed  bool
	)
	cmd := &cobra.Command{
		Use:   "view [flags] LOG",
		Short: "Look at a replayed log in the terminal",
		Long: `View shows a replayed log as lanes over time: the channel, the switch, the line,
presses, what the camera did, takes, armed time, findings. Move the cursor with
the arrow keys, go to the next edge, press, take or finding with e, p, t, f, and
zoom with + and -. The status line tells the width of what the cursor is in; the
marks 1 and 2 measure the time and the presses between them. All keys: ?

Where no screen can be had, or with --print, the same picture is printed as
text.`,
		Example: `  flicktally view flight.csv
  flicktally view --rig heron.toml --from 1:20 --to 1:40 flight.csv
  flicktally view --print flight.csv`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, logs []string) error {
			if cmd.Flags().Changed("to") && to <= from {
				return wrongUsage(fmt.Errorf("found --to %s, want a time after --from %s", &to, &from))
			}
			flights, err := a.replayLogs(logs, &flags, replayOptions{limits: sim.DefaultLimits(), traceBins: viewBins})
			if err != nil {
				return err
			}
			viewer := term.NewViewer(viewLogs(flights), saveSpan)
			if cmd.Flags().Changed("from") || cmd.Flags().Changed("to") {
				span := sim.Span{From: sim.Micros(from), To: sim.Micros(to)}
				if to <= from {
					span.To = flights[0].Replay.End + 1
				}
				if span.From > flights[0].Replay.End {
					return wrongUsage(fmt.Errorf("found --from %s, want a time before the log ends at %s",
						&from, flights[0].Replay.End.Clock()))
				}
				viewer.Show(span)
			}
			return a.show(viewer, printed)
		},
	}
	flags.add(cmd)
	cmd.Flags().Var(&from, "from", "begin with the view from this time on")
	cmd.Flags().Var(&to, "to", "begin with the view up to this time")
	cmd.Flags().BoolVar(&printed, "print", false, "print the picture as text instead of opening a screen")
	return cmd
}

// viewLogs names the flights for the viewer.
func viewLogs(flights []flight) []term.Log {
	logs := make([]term.Log, len(flights))
	for i, f := range flights {
		name := excerpt.Printable(filepath.Base(f.File))
		if f.File == "-" {
			name = "stdin"
		}
		logs[i] = term.Log{Name: name, Replay: f.Replay, Findings: f.Findings, Channel: f.Trace}
	}
	return logs
}

// show runs a program on the terminal. Where there is no screen to be had its
// first picture is printed.
func (a *app) show(p term.Program, printed bool) error {
	if !printed {
		err := term.Run(p)
		var noScreen *term.NoScreenError
		if !errors.As(err, &noScreen) {
			return err
		}
		a.talk.note("%v; printed instead", err)
	}
	width, height := 80, 24
	if w, h, err := xterm.GetSize(int(os.Stdout.Fd())); err == nil {
		width, height = w, h
	}
	_, err := io.WriteString(a.talk.out, term.Print(p, width, height, term.GlyphsFor(term.Charset(os.Getenv))))
	return err
}

// saveSpan writes the timing chart of a stretch into the working folder, named
// by log and stretch. It overwrites nothing.
func saveSpan(log term.Log, span sim.Span) (string, error) {
	chart, err := plot.Timing(log.Replay, log.Findings, log.Channel, plot.TimingView{Title: log.Name, Span: span})
	if err != nil {
		return "", err
	}
	base := strings.TrimSuffix(log.Name, filepath.Ext(log.Name))
	span.To = min(span.To, log.Replay.End)
	name := strings.ReplaceAll(fmt.Sprintf("%s_%s-%s.svg", base, span.From.Clock(), span.To.Clock()), ":", "m")
	return name, writeFile(name, false, func(w io.Writer) error { return plot.Write(w, chart, plot.SVG) })
}
