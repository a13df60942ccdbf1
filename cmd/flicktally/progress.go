package main

import (
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"flicktally/plot/figures"
	"flicktally/sim"
	"flicktally/sim/problem"
	"flicktally/sim/source"
	"flicktally/sim/tell"
	"flicktally/trainer"
	"flicktally/trainer/history"
	"flicktally/trainer/progress"
)

type progressFlags struct {
	pictureFlags
	data   string
	rig    string
	device string
	by     string
	on     time.Time // a day; the zero time is today
	kind   string
	drill  string
	asJSON bool
}

// progressTables lists the kinds of progress that are tables, including former
// names.
var progressTables = map[string]func(io.Writer, *history.History) error{
	"flicks": history.WriteFlicks, "csv": history.WriteFlicks,
	"trials": history.WriteTrials, "trials-csv": history.WriteTrials,
	"json": history.WriteJSON,
}

func newProgress(a *app) *cobra.Command {
	var flags progressFlags
	cmd := &cobra.Command{
		Use:   "progress",
		Short: "Show the progress of practice, week by week",
		Long: `Progress sums up your practice: how many flicks toggled, the mean hold and its
spread, the first flick of each day, which drills were done, which of them have
become reliable, and which of those are due for a recheck. Each rig and each device
is summed up separately.

Reliable means better than 9 in 10, by a test that calls a pilot who fails one
flick in ten reliable in at most 10 % of runs of 600 trials. Trials count for 30
days; a recheck is due 1, 3, 7 and 30 days after the test was passed.

  --kind success   a chart of the share of flicks that toggle, with its interval
  --kind holds     a chart of the mean and the spread of the hold
  --kind mix       a chart of the number of trials of each drill
  --kind window    a chart of every hold that the camera saw, over the press window
  --kind flicks    a table (CSV) with one row per flick
  --kind trials    a table with one row per trial
  --drill DRILL    a drill as a channel log that replay reads; "last", or the name
                   that the tables give it
  --json           everything, with every move of the switch

A chart needs -o FILE; the others go to standard output without it.`,
		Example: `  flicktally progress
  flicktally progress --by day --input keyboard
  flicktally progress --kind holds -o holds.png
  flicktally progress --kind flicks > flicks.csv
  flicktally progress --drill last -o practice.csv`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := flags.check(); err != nil {
				return problem.WrongUsage(err)
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
	flags.StringVar(&f.rig, "rig", "", "only practice with this rig: a `file`, or its name in your configuration folder")
	flags.StringVar(&f.device, "input", "", "only practice with this `device`, such as keyboard")
	flags.StringVar(&f.device, "device", "", "")
	flags.Lookup("device").Hidden = true // its former name
	flags.StringVar(&f.by, "by", "week", "sum up by week or by day")
	addValue(flags, &f.on, "on", "date", "show the progress as of a day such as 2025-06-20 (default: today)", parseDay,
		func(day time.Time) string { return day.Format(time.DateOnly) })
	flags.StringVar(&f.kind, "kind", "", "draw or write this instead: success, holds, mix, window, flicks, trials")
	flags.StringVar(&f.drill, "drill", "", "write a `drill` as a channel log instead")
	flags.BoolVar(&f.asJSON, "json", false, "print JSON")
	f.pictureFlags.add(flags, "the `file` for a chart, a table or a log; - is standard output")
}

func (f *progressFlags) check() error {
	if f.asJSON {
		if f.kind != "" {
			return errors.New("found --kind and --json, want only one of them")
		}
		f.kind = "json"
	}
	draws := figures.HasPractice(f.kind) || f.kind == chartWindow
	switch {
	case f.kind != "" && f.drill != "":
		return errors.New("found --drill with --kind or --json, want only one of them")
	case f.by != "week" && f.by != "day":
		return fmt.Errorf("found --by %q, want week or day", f.by)
	case f.kind != "" && !draws && progressTables[f.kind] == nil:
		return fmt.Errorf("found --kind %q, want success, holds, mix, window, flicks or trials", f.kind)
	case f.out != "" && f.kind == "" && f.drill == "":
		return errors.New("found -o alone, want it with --kind, --drill or --json")
	case draws && f.out == "":
		return errors.New("found no file to draw, want -o FILE")
	case draws:
		return f.pictureFlags.check()
	}
	return nil
}

// period returns the function that gives the start of the week or day of a time.
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
	case progressTables[f.kind] != nil:
		return a.writeResult(f, func(w io.Writer) error { return progressTables[f.kind](w, h) })
	case f.drill != "":
		d := h.Find(f.drill)
		if d == nil {
			return problem.WrongUsage(fmt.Errorf("found no drill %q in the practice journal, want the name of one", f.drill), "--kind trials lists the drills; \"last\" is the latest one")
		}
		if len(d.Flicks) == 0 {
			return problem.WrongUsage(fmt.Errorf("found no flick in drill %q, want one in which the switch was moved", f.drill))
		}
		return a.writeResult(f, func(w io.Writer) error { return recordDrill(w, d) })
	case len(h.Profiles()) == 0:
		fmt.Fprintln(a.talk.out, "Nothing practised yet.\n\nStart with:  flicktally practise")
		return nil
	case f.kind == chartWindow:
		return a.drawPractisedHolds(h, f)
	case f.kind != "":
		return a.drawProgress(h, f)
	default:
		progress.Write(a.talk.Printer, h, f.period(), f.end())
		return nil
	}
}

// recordDrill writes a drill as a record, which says itself how to read it,
// whatever the rig. Every run of the drill is a segment.
func recordDrill(w io.Writer, d *history.Drill) error {
	runs, err := d.Log()
	if err != nil {
		return err
	}
	recorder := source.NewRecorder(w, sim.TapChannel, sim.Rig{}, 0)
	for _, run := range runs {
		if err := recorder.Write(run); err != nil {
			return err
		}
	}
	return nil
}

// readPractice reads the journal and keeps what the flags select.
func (a *app) readPractice(f *progressFlags) (*history.History, error) {
	journal, err := a.journalIn(f.data)
	if err != nil {
		return nil, err
	}
	read := journal.ReadBrief
	if progressTables[f.kind] != nil || f.drill != "" || f.kind == chartWindow {
		read = journal.Read
	}
	h, err := read()
	if err != nil {
		return nil, err
	}
	if h.Damaged > 0 {
		a.talk.note("left out of the practice journal, as damaged: %s; the first: %v", tell.Counted(h.Damaged, "line", "lines"), h.Damage[0])
	}
	end := f.end()
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

// writeResult writes to the named file, or else to standard output.
func (a *app) writeResult(f *progressFlags, write func(io.Writer) error) error {
	if f.out == "" {
		return write(a.talk.out)
	}
	return a.files.Write(f.out, f.force, write)
}

func parseDay(text string) (time.Time, error) {
	day, err := time.ParseInLocation(time.DateOnly, text, time.Local)
	if err != nil {
		err = fmt.Errorf("found %q, want a day such as 2025-06-20", text)
	}
	return day, err
}

// end returns the last moment to sum up: the end of the day of --on, or now.
func (f *progressFlags) end() time.Time {
	if f.on.IsZero() {
		return time.Now()
	}
	return f.on.AddDate(0, 0, 1).Add(-1)
}
