package main

import (
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"flicktally/plot"
	"flicktally/sim"
	"flicktally/sim/source"
	"flicktally/sim/tell"
	"flicktally/trainer"
	"flicktally/trainer/history"
)

// progressFlags are the flags of progress.
type progressFlags struct {
	data   string
	rig    string
	device string
	by     string
	on     dateFlag
	chart  string
	export string
	log    string
	out    string
	force  bool
	dark   bool
}

// The exports of progress.
var progressExports = map[string]func(io.Writer, *history.History) error{
	"csv":        history.WriteFlicks,
	"trials-csv": history.WriteTrials,
	"json":       history.WriteJSON,
}

func newProgress(a *app) *cobra.Command {
	var flags progressFlags
	cmd := &cobra.Command{
		Use:   "progress",
		Short: "Show what practice has come to, week by week",
		Long: `Progress sums up what was practised: how many flicks toggled, how long the hold
was and how much it spread, the first flick of each day, which drills were done,
which of them have become reliable, and which of those are due for a recheck. Each
rig and each device is told apart.

Reliable means: better than 9 in 10, by a test that calls a pilot who fails one
flick in ten reliable in at most 10 % of runs of 600 trials. Trials count for 30
days; a recheck is due 1, 3, 7 and 30 days after the test was passed.

  --chart success   the share of flicks that toggle, with its interval
  --chart holds     mean and spread of the hold
  --chart mix       how much of which drill was done
  --chart window    every hold that the camera saw, over the rig's press window
  --export csv      a row for every flick; trials-csv: one for every trial
  --export json     everything, with every move of the switch
  --log DRILL       a drill as a channel log that replay reads; "last", or the
                    name that the exports give it

A chart needs -o FILE. Exports go to standard output without it.`,
		Example: `  flicktally progress
  flicktally progress --by day --device keyboard
  flicktally progress --chart holds -o holds.png
  flicktally progress --export csv > flicks.csv
  flicktally progress --log last -o practice.csv`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := flags.check(); err != nil {
				return wrongUsage(err)
			}
			return a.progress(&flags)
		},
	}
	flags.add(cmd)
	return cmd
}

func (f *progressFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	addDataFlag(flags, &f.data, "the `folder` of the practice journal")
	flags.StringVar(&f.rig, "rig", "", "only what was practised on the rig in this `file`")
	flags.StringVar(&f.device, "device", "", "only what was practised with this device")
	flags.StringVar(&f.by, "by", "week", "sum up by week or by day")
	flags.Var(&f.on, "on", "as it was on a day such as 2025-06-20 (default: today)")
	flags.StringVar(&f.chart, "chart", "", "draw instead: success, holds, mix, window")
	flags.StringVar(&f.export, "export", "", "write instead: csv, trials-csv, json")
	flags.StringVar(&f.log, "log", "", "write a `drill` as a channel log instead")
	flags.StringVarP(&f.out, "output", "o", "", "the `file` for a chart, an export or a log")
	flags.BoolVar(&f.force, "force", false, "write over a file that is there")
	flags.BoolVar(&f.dark, "dark", false, "a chart light on dark")
}

func (f *progressFlags) check() error {
	asked := 0
	for _, what := range []string{f.chart, f.export, f.log} {
		if what != "" {
			asked++
		}
	}
	_, exports := progressExports[f.export]
	switch {
	case asked > 1:
		return errors.New("found more than one of --chart, --export and --log, want one at a time")
	case f.by != "week" && f.by != "day":
		return fmt.Errorf("found --by %q, want week or day", f.by)
	case f.export != "" && !exports:
		return fmt.Errorf("found --export %q, want csv, trials-csv or json", f.export)
	case f.out != "" && asked == 0:
		return errors.New("found -o without --chart, --export or --log, want one of them")
	case f.chart != "" && f.out == "":
		return errors.New("found no file to draw, want -o FILE")
	case f.chart != "":
		if progressCharts[f.chart] == nil && f.chart != chartWindow {
			return fmt.Errorf("found --chart %q, want success, holds, mix or window", f.chart)
		}
		_, err := plot.FormatOf(f.out)
		return err
	}
	return nil
}

// period returns the stretch of the calendar to sum up by.
func (f *progressFlags) period() func(time.Time) time.Time {
	if f.by == "day" {
		return trainer.Day
	}
	return trainer.Week
}

func (a *app) progress(f *progressFlags) error {
	h, err := a.readPractice(f)
	if err != nil {
		return err
	}
	switch {
	case f.export != "":
		return a.writeResult(f, func(w io.Writer) error { return progressExports[f.export](w, h) })
	case f.log != "":
		d := h.Find(f.log)
		if d == nil {
			return wrongUsage(fmt.Errorf("found no drill %q in the practice journal", f.log), "the exports name the drills; \"last\" is the latest")
		}
		if len(d.Flicks) == 0 {
			return wrongUsage(fmt.Errorf("found no flick in drill %q, want one in which the switch was moved", f.log))
		}
		return a.writeResult(f, func(w io.Writer) error { return recordDrill(w, d) })
	case len(h.Profiles()) == 0:
		fmt.Fprintln(a.talk.out, "Nothing practised yet.\n\nBegin with:  flicktally practise")
		return nil
	case f.chart == chartWindow:
		return a.drawPractisedHolds(h, f)
	case f.chart != "":
		return a.drawProgress(h, f)
	default:
		a.talk.printProgress(h, f.period(), f.on.end())
		return nil
	}
}

// recordDrill writes a drill as a log that says itself how it is read, whatever
// rig is there. Every run of the drill is a segment.
func recordDrill(w io.Writer, d *history.Drill) error {
	runs, err := d.Samples()
	if err != nil {
		return err
	}
	recorder := source.NewRecorder(w, sim.TapChannel, sim.Rig{}, 0)
	for i, run := range runs {
		if err := recorder.Write(sim.Block{Segment: i + 1, Samples: run}); err != nil {
			return err
		}
	}
	return nil
}

// readPractice reads the journal and keeps what the flags ask for.
func (a *app) readPractice(f *progressFlags) (*history.History, error) {
	journal, err := journalIn(f.data)
	if err != nil {
		return nil, err
	}
	read := journal.ReadBrief
	if f.export != "" || f.log != "" || f.chart == chartWindow {
		read = journal.Read
	}
	h, err := read()
	if err != nil {
		return nil, err
	}
	if h.Damaged > 0 {
		a.talk.note("left out of the practice journal, as damaged: %s; the first: %v", tell.Counted(h.Damaged, "line", "lines"), h.Damage[0])
	}
	end := f.on.end()
	wanted := func(d *history.Drill) bool {
		return (f.device == "" || d.Device == f.device) && !d.Began.After(end)
	}
	if f.rig != "" {
		file, err := a.loadRig(f.rig)
		if err != nil {
			return nil, err
		}
		h.Recognise(file.Rig)
		hash, device := history.RigHash(file.Rig), wanted
		wanted = func(d *history.Drill) bool { return device(d) && d.RigHash == hash }
	}
	return h.Only(wanted), nil
}

// writeResult writes to the file that was named, or else to standard output.
func (a *app) writeResult(f *progressFlags, write func(io.Writer) error) error {
	if f.out == "" {
		return write(a.talk.out)
	}
	return writeFile(f.out, f.force, write)
}

// dateFlag is a flag that takes a day; the zero dateFlag is today.
type dateFlag time.Time

func (d *dateFlag) String() string {
	if time.Time(*d).IsZero() {
		return ""
	}
	return time.Time(*d).Format(time.DateOnly)
}

func (d *dateFlag) Type() string { return "date" }

func (d *dateFlag) Set(text string) error {
	day, err := time.ParseInLocation(time.DateOnly, text, time.Local)
	if err != nil {
		return fmt.Errorf("found %q, want a day such as 2025-06-20", text)
	}
	*d = dateFlag(day)
	return nil
}

// end returns the last moment of the day; of today it is now.
func (d *dateFlag) end() time.Time {
	if time.Time(*d).IsZero() {
		return time.Now()
	}
	return time.Time(*d).AddDate(0, 0, 1).Add(-1)
}
