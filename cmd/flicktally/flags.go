package main

import (
	"errors"
	"slices"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"flicktally/sim"
	"flicktally/sim/problem"
	"flicktally/trainer/history"
)

// addDataFlag adds --data. Help describes its default in words, as the manual
// page is for every machine.
func addDataFlag(flags *pflag.FlagSet, folder *string, usage string) {
	flags.StringVar(folder, "data", history.DefaultFolder(),
		usage+` (default: "flicktally" in your data folder, often ~/.local/share)`)
	flags.Lookup("data").DefValue = ""
}

// outputFlags say which file a command writes.
type outputFlags struct {
	out   string
	force bool
}

func (f *outputFlags) add(flags *pflag.FlagSet, usage string) {
	flags.StringVarP(&f.out, "output", "o", "", usage)
	addForceFlag(flags, &f.force)
}

func addForceFlag(flags *pflag.FlagSet, force *bool) {
	flags.BoolVar(force, "force", false, "write over a file that is there")
}

// pictureFlags are the flags of a command that may draw.
type pictureFlags struct {
	outputFlags
	dark bool
}

func (f *pictureFlags) add(flags *pflag.FlagSet, usage string) {
	f.outputFlags.add(flags, usage)
	flags.BoolVar(&f.dark, "dark", false, "a chart light on dark")
}

// The flags that name the files that a command writes; writeFlag names a file
// that it reads and changes. Its former name still works.
var writingFlags = []string{"output", "record", "final"}

const (
	writeFlag       = "update"
	formerWriteFlag = "write"
)

// addWriteFlag adds --update.
func addWriteFlag(flags *pflag.FlagSet, path *string, usage string) {
	flags.StringVar(path, writeFlag, "", usage)
	flags.StringVar(path, formerWriteFlag, "", "")
	flags.Lookup(formerWriteFlag).Hidden = true
}

// guardFiles makes a command and its subcommands check first that they write no
// file that they also read, and none twice.
func (a *app) guardFiles(cmd *cobra.Command) {
	if run := cmd.RunE; run != nil {
		cmd.RunE = func(cmd *cobra.Command, args []string) error {
			outputs, changed := a.noteFiles(cmd, args)
			if err := a.files.Check(outputs, changed); err != nil {
				return err
			}
			if err := a.checkChanged(changed); err != nil {
				return err
			}
			return run(cmd, args)
		}
	}
	for _, sub := range cmd.Commands() {
		a.guardFiles(sub)
	}
}

// noteFiles records the files that a command line names for reading, and
// returns those to write and those to change.
func (a *app) noteFiles(cmd *cobra.Command, args []string) (outputs, changed []string) {
	read := slices.Clone(args)
	cmd.Flags().Visit(func(flag *pflag.Flag) {
		values := []string{flag.Value.String()}
		if several, ok := flag.Value.(pflag.SliceValue); ok {
			values = several.GetSlice()
		}
		switch {
		case slices.Contains(writingFlags, flag.Name):
			outputs = append(outputs, values...)
		case flag.Name == writeFlag, flag.Name == formerWriteFlag && cmd.Flags().Lookup(writeFlag) != nil:
			changed = append(changed, values...)
		default:
			read = append(read, values...)
		}
	})
	for _, path := range read {
		a.files.Reads(path)
	}
	return outputs, changed
}

// checkChanged refuses rig files that could not be changed at the end.
func (a *app) checkChanged(rigs []string) error {
	for _, path := range rigs {
		data, err := a.readRigFile(path)
		if _, err := parseRig(data, path, err); err != nil {
			return err
		}
	}
	return nil
}

// journalIn returns the journal in the folder of --data.
func (a *app) journalIn(folder string) (*history.Journal, error) {
	if folder == "" {
		return nil, problem.WrongUsage(errors.New("found no folder for the practice journal, as no home folder is known, want --data with one"))
	}
	journal := history.At(folder)
	a.files.Reads(journal.File())
	return journal, nil
}

// plainOptions hides zero defaults of times in help: a time that is not given
// means the start or the end of a log, or a measured value. The usage line
// leaves the options to the list below it.
func plainOptions(cmd *cobra.Command) {
	cmd.DisableFlagsInUseLine = true
	cmd.Flags().SortFlags = false // in the order of declaration, main ones first
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		switch f.Value.(type) {
		case *durationFlag, *clockFlag:
			if f.DefValue == sim.Micros(0).String() || f.DefValue == sim.Micros(0).FineClock() {
				f.DefValue = ""
			}
		}
	})
}

// formerNames keeps the former names of flags working.
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
