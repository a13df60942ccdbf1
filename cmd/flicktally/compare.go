package main

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"flicktally/plot"
	"flicktally/plot/figures"
	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/export"
	"flicktally/sim/flight"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
	"flicktally/sim/tell"
)

type compareFlags struct {
	pictureFlags
	logFlags
	rigs    []string
	changes []string
	asJSON  bool
}

func newCompare(a *app) *cobra.Command {
	var flags compareFlags
	cmd := &cobra.Command{
		Use:   "compare --rig A --rig B LOG...",
		Short: "Compare two or more rigs on the same logs",
		Long: `Compare replays the same logs with several rigs and shows the results side by
side: flicks that toggled, takes, findings, and what each rig records that the
first does not. It shows, for example, what another one-shot, another threshold or
a longer settle would have done to last Sunday's flight.

A rig is a file (--rig), or the first rig with keys changed (--with). Separate
several keys of one --with by semicolons.

The logged channel stays the same: compare cannot know what the pilot would have
done differently with another rig.`,
		Example: `  flicktally compare --rig heron.toml --rig heron2.toml flight.csv
  flicktally compare --rig heron.toml --with switch.settle=20ms flight.csv
  flicktally compare --with 'oneshot.trigger=rising; oneshot.width=300ms' \
      --with 'camera.long_press=2s' monday.csv tuesday.csv -o sunday.png`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, paths []string) error {
			if err := flags.check(); err != nil {
				return problem.WrongUsage(err)
			}
			rigs, err := a.comparedRigs(&flags)
			if err != nil {
				return err
			}
			comparisons, err := a.logs.Comparisons(paths, rigs, a.how(&flags.logFlags))
			if err != nil {
				return err
			}
			return a.printComparisons(comparisons, &flags)
		},
	}
	flags.add(cmd)
	return cmd
}

func (f *compareFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringArrayVar(&f.rigs, "rig", nil, "a rig `file`; repeat it for each rig")
	flags.StringArrayVar(&f.changes, "with", nil, "the first rig with keys changed: `KEY=VALUE`, such as switch.settle=20ms; may be repeated")
	flags.BoolVar(&f.asJSON, "json", false, "print JSON (an array if there are several logs or segments)")
	f.pictureFlags.add(flags, "draw the takes of all rigs into this `file` (.png, .svg, .pdf)")
	f.addReading(cmd)
}

// mostEntrants is the number of letters for rigs.
const mostEntrants = 26

// comparedRigs returns the rigs named by the flags.
func (a *app) comparedRigs(f *compareFlags) ([]flight.ComparedRig, error) {
	if len(f.rigs) == 0 {
		f.rigs = []string{""}
	}
	if n := len(f.rigs) + len(f.changes); n < 2 || n > mostEntrants {
		return nil, problem.WrongUsage(fmt.Errorf("found %s, want 2 to %d to compare", tell.Counted(n, "rig", "rigs"), mostEntrants),
			"repeat --rig FILE, or change the first rig with --with KEY=VALUE")
	}
	var all []flight.ComparedRig
	add := func(file, change string, rig sim.Rig) {
		e := flight.ComparedRig{Letter: string(rune('A' + len(all))), File: file, Change: change, Rig: rig}
		if len(all) > 0 {
			e.Differs = rigfile.Differences(all[0].Rig, rig)
		}
		all = append(all, e)
	}
	for _, path := range f.rigs {
		f.rig = path
		file, err := a.loadRigFor(&f.logFlags)
		if err != nil {
			return nil, err
		}
		add(rigName(path, file), "", file.Rig)
	}
	for _, change := range f.changes {
		file, err := rigfile.ParseChange(all[0].Rig, change, "--with")
		if err != nil {
			return nil, problem.WrongUsage(err)
		}
		add(all[0].File, excerpt.Printable(change), file.Rig)
	}
	return all, nil
}

// rigName names a rig without its folder.
func rigName(path string, file rigfile.File) string {
	switch {
	case path != "":
		return excerpt.Printable(filepath.Base(path))
	case file.Given != nil:
		return rigInFolder
	default:
		return "the defaults"
	}
}

// printComparisons draws the chart, if one is wanted, and prints the result.
func (a *app) printComparisons(comparisons []flight.Comparison, f *compareFlags) error {
	a.talk.standAside(f.out)
	err := a.draw(&f.pictureFlags, func(look plot.Look) (*plot.Chart, error) { return figures.Comparisons(comparisons, look) })
	if err != nil {
		return err
	}
	if f.asJSON {
		return export.Comparisons(a.talk.out, comparisons)
	}
	a.talk.Comparisons(comparisons)
	return nil
}
