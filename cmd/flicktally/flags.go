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

// addDataFlag adds --data. Help describes its default in words, since the manual
// page must not depend on the machine.
func addDataFlag(flags *pflag.FlagSet, folder *string, usage string) {
	flags.StringVar(folder, "data", history.DefaultFolder(),
		usage+` (default: "flicktally" in your data folder, often ~/.local/share)`)
	flags.Lookup("data").DefValue = ""
}

// outputFlags are the flags of a command that writes a file.
type outputFlags struct {
	out   string
	force bool
}

func (f *outputFlags) add(flags *pflag.FlagSet, usage string) {
	flags.StringVarP(&f.out, "output", "o", "", usage)
	addForceFlag(flags, &f.force)
}

func addForceFlag(flags *pflag.FlagSet, force *bool) {
	flags.BoolVar(force, "force", false, "overwrite an existing file")
}

// pictureFlags are the flags of a command that can draw a chart.
type pictureFlags struct {
	outputFlags
	dark bool
}

func (f *pictureFlags) add(flags *pflag.FlagSet, usage string) {
	f.outputFlags.add(flags, usage)
	flags.BoolVar(&f.dark, "dark", false, "draw light on dark")
}

// writingFlags name the files that a command writes. writeFlag names a file that
// it reads and changes; the former name still works.
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
// file that they also read, and no file twice.
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

// noteFiles records the files that a command line names for reading, and returns
// those to write and those to change.
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

// checkChanged refuses at the start rig files that could not be changed at the
// end.
func (a *app) checkChanged(rigs []string) error {
	for _, path := range rigs {
		if _, _, err := a.readRig(path); err != nil {
			return err
		}
	}
	return nil
}

// journalIn returns the journal in the folder of --data.
func (a *app) journalIn(folder string) (*history.Journal, error) {
	if folder == "" {
		return nil, problem.WrongUsage(errors.New("found no folder for the practice journal, since no home folder is known, want --data FOLDER"))
	}
	journal := history.At(folder)
	a.files.Reads(journal.File())
	return journal, nil
}

// plainOptions lists options in the order of declaration, main ones first, and
// leaves them out of the usage line.
func plainOptions(cmd *cobra.Command) {
	cmd.DisableFlagsInUseLine = true
	cmd.Flags().SortFlags = false
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

// optional returns the argument of a command that takes at most one, "" for
// none.
func optional(args []string) string {
	if len(args) == 0 {
		return ""
	}
	return args[0]
}

// valueFlag is a flag whose value has a syntax of its own.
type valueFlag[T comparable] struct {
	value *T
	kind  string
	parse func(string) (T, error)
	show  func(T) string
}

// addValue adds a flag whose value parse reads and show writes. A zero default
// is not shown: it stands for the start or the end of a log, today, or a value
// that is measured.
func addValue[T comparable](flags *pflag.FlagSet, value *T, name, kind, usage string, parse func(string) (T, error), show func(T) string) {
	flags.Var(&valueFlag[T]{value, kind, parse, show}, name, usage)
}

func (f *valueFlag[T]) Type() string { return f.kind }

func (f *valueFlag[T]) String() string {
	var zero T
	if *f.value == zero {
		return ""
	}
	return f.show(*f.value)
}

func (f *valueFlag[T]) Set(text string) error {
	value, err := f.parse(text)
	if err == nil {
		*f.value = value
	}
	return err
}

// addDuration adds a flag that takes a duration as a rig file does: "80ms".
func addDuration(flags *pflag.FlagSet, value *sim.Micros, name, usage string) {
	addValue(flags, value, name, "duration", usage, sim.ParseDuration, sim.Micros.String)
}

// addClock adds a flag that takes a time in a log: "12.5s" or "0:12.5".
func addClock(flags *pflag.FlagSet, value *sim.Micros, name, usage string) {
	addValue(flags, value, name, "time", usage, sim.ParseClock, sim.Micros.FineClock)
}
