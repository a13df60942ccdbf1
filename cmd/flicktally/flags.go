package main

import (
	"errors"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"flicktally/sim"
	"flicktally/trainer/history"
)

// addDataFlag adds --data. Help tells its default in words: the manual page is
// for every machine.
func addDataFlag(flags *pflag.FlagSet, folder *string, usage string) {
	flags.StringVar(folder, "data", history.DefaultFolder(),
		usage+` (default: "flicktally" in your data folder, often ~/.local/share)`)
	flags.Lookup("data").DefValue = ""
}

// journalIn returns the journal in the folder of --data.
func journalIn(folder string) (*history.Journal, error) {
	if folder == "" {
		return nil, wrongUsage(errors.New("found no folder for the practice journal, as no home folder is known, want --data with one"))
	}
	journal := history.At(folder)
	inputs.add(journal.File())
	return journal, nil
}

// plainOptions lets help show no default for a time of nothing: where it is not
// given, it stands for the beginning or the end of a log, or for what is measured.
// The line of usage leaves the options to the list below it.
func plainOptions(cmd *cobra.Command) {
	cmd.DisableFlagsInUseLine = true
	cmd.Flags().SortFlags = false // as they were declared, the main ones first
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		switch f.Value.(type) {
		case *durationFlag, *clockFlag:
			if f.DefValue == sim.Micros(0).String() || f.DefValue == sim.Micros(0).FineClock() {
				f.DefValue = ""
			}
		}
	})
}

// formerNames lets the flags that once had other names still work.
func formerNames(_ *pflag.FlagSet, name string) pflag.NormalizedName {
	switch name {
	case "what", "of", "chart", "export":
		name = "kind"
	case "log":
		name = "drill"
	}
	return pflag.NormalizedName(name)
}

// optional returns the argument of a command that takes one at most, "" for
// none.
func optional(args []string) string {
	if len(args) == 0 {
		return ""
	}
	return args[0]
}

// durationFlag is a flag that takes a duration as a rig file does: "80ms".
type durationFlag sim.Micros

func (d *durationFlag) String() string { return sim.Micros(*d).String() }

func (d *durationFlag) Type() string { return "duration" }

func (d *durationFlag) Set(text string) error {
	m, err := sim.ParseDuration(text)
	if err == nil {
		*d = durationFlag(m)
	}
	return err
}

// clockFlag is a flag that takes a time of a log: "12.5s" or "0:12.5".
type clockFlag sim.Micros

func (c *clockFlag) String() string { return sim.Micros(*c).FineClock() }

func (c *clockFlag) Type() string { return "time" }

func (c *clockFlag) Set(text string) error {
	m, err := sim.ParseClock(text)
	if err == nil {
		*c = clockFlag(m)
	}
	return err
}
