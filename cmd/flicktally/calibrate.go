package main

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"flicktally/plot"
	"flicktally/plot/figures"
	"flicktally/sim"
	"flicktally/sim/export"
	"flicktally/sim/files"
	"flicktally/sim/fit"
	"flicktally/sim/lists"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
)

type calibrateFlags struct {
	pictureFlags
	transmitterFlags
	flightFlags
	bench      bool
	shape      fit.Shape
	confidence float64
	goal       fit.Goal
	asJSON     bool
	write      string
	of         fit.ThresholdName
}

func newCalibrate(a *app) *cobra.Command {
	var flags calibrateFlags
	cmd := &cobra.Command{
		Use:   "calibrate [TRIALS | --clips CARD LOG...]",
		Short: "Measure the camera's press window from bench trials, or from flights",
		Long: `Calibrate measures how long a press must be for the camera to toggle, and from
which hold it is a long press. It needs trials: how long a press was held, and
what the camera did.

TRIALS is a list of trials (CSV: hold,outcome with outcomes nothing, toggled, long).
Without it, or with --bench, calibrate guides you through trials at the bench: it
proposes the most informative hold; you press, then type how long you held and
what the camera did. It ends when min_press is known to --width and long_press to
five times that, or after --trials in all, and says what is left open. With
--bench, it adds to TRIALS and saves the list after every trial. With --joystick
you flick the switch of a transmitter on USB, and the hold is measured; calibrate
finds the switch when you flick it. --joystick implies --bench.

The range of a threshold contains it with a chance of --confidence, by Bayes'
rule. A threshold may jitter from press to press, so holds near it are repeated.
The ranges for the rig file are wider: they contain the thresholds of 95 % of
presses. Trials that contradict each other are listed. If none do, calibrate shows
the two holds between which a threshold without jitter lies.

"long" is a press with the long action, whether or not recording toggled before
it. If the rig says long_action = "none", write "long" for a long hold that did
nothing; with toggle_on = "press" as well, no trial shows long_press, and none
needs to. With double_within, leave the camera alone for longer than that after
every press: calibrate measures single presses.

With --clips, calibrate needs no bench: it reads the LOGs of flights, and finds
the thresholds that agree with the clips on their card. It searches the rig's
range; for a single value, a range from a quarter to four times that value.
Thresholds less than a hundredth as likely as the likeliest are left out.

At the bench: props off, the craft tied down, the camera kept cool. Your
local rules and the makers' instructions come first.`,
		Example: `  flicktally calibrate
  flicktally calibrate --bench trials.csv
  flicktally calibrate --joystick trials.csv
  flicktally calibrate trials.csv --update heron.toml
  flicktally calibrate trials.csv -o min_press.png
  flicktally calibrate trials.csv --kind long_press -o long_press.svg
  flicktally calibrate --clips DCIM --update heron.toml monday.csv tuesday.csv`,
		Args: func(cmd *cobra.Command, args []string) error { return flags.checkFlights(cmd, args) },
		RunE: func(_ *cobra.Command, args []string) error { return a.calibrate(args, &flags) },
	}
	flags.add(cmd)
	return cmd
}

func (f *calibrateFlags) add(cmd *cobra.Command) {
	f.transmitterFlags.add(cmd)
	f.flightFlags.add(cmd)
	flags := cmd.Flags()
	flags.BoolVar(&f.bench, "bench", false, "run trials at the bench, and save them in TRIALS")
	flags.StringVar((*string)(&f.shape), "shape", string(fit.Logistic), "shape of the response curve: logistic, probit")
	flags.Float64Var(&f.confidence, "confidence", 0.95, "the confidence of the ranges, between 0 and 1")
	f.goal = fit.DefaultGoal
	addDuration(flags, &f.goal.Width, "width", "stop when min_press is known to this width, and long_press to five times this width")
	flags.IntVar(&f.goal.Trials, "trials", f.goal.Trials, "at most this many trials, for both thresholds together")
	flags.BoolVar(&f.asJSON, "json", false, "print JSON")
	addWriteFlag(flags, &f.write, "write the result to this rig `file`; its comments are kept")
	f.pictureFlags.add(flags, "draw a chart into this `file` (.png, .svg, .pdf)")
	flags.StringVar((*string)(&f.of), "kind", string(fit.NameMinPress), "threshold to draw: min_press, long_press")
}

func (f *calibrateFlags) options() fit.Options {
	return fit.Options{Shape: f.shape, Confidence: f.confidence}
}

// check refuses impossible flags before any trial.
func (f *calibrateFlags) check() error {
	names := []fit.ThresholdName{fit.NameMinPress, fit.NameLongPress}
	switch {
	case !slices.Contains(fit.Shapes, f.shape):
		return fmt.Errorf("found --shape %q, want %s", f.shape, sim.OneOf(fit.Shapes))
	case !(f.confidence > 0 && f.confidence < 1):
		return fmt.Errorf("found --confidence %v, want a chance between 0 and 1", f.confidence)
	case f.goal.Width < 1:
		return fmt.Errorf("found --width %s, want more than 0", f.goal.Width)
	case f.goal.Trials < 1:
		return fmt.Errorf("found --trials %d, want at least 1", f.goal.Trials)
	case !slices.Contains(names, f.of):
		return fmt.Errorf("found --kind %q, want %s", f.of, sim.OneOf(names))
	}
	return f.pictureFlags.check()
}

func (a *app) calibrate(args []string, f *calibrateFlags) error {
	if err := f.check(); err != nil {
		return problem.WrongUsage(err)
	}
	if f.write != "" { // the rig to update is the one that is measured
		f.rig = f.write
	}
	if len(f.seen.clips.paths) > 0 {
		return a.calibrateFlights(args, f)
	}
	if f.out != "" {
		if err := a.files.MayWrite(f.out, f.force); err != nil {
			return err
		}
	}
	path := optional(args)
	interactive := path == "" || f.bench || f.asked()
	trials, err := a.readTrials(path, interactive)
	if err != nil {
		return err
	}
	if interactive {
		if trials, err = a.benchTrials(trials, path, f); err != nil {
			return err
		}
	}
	window, err := fit.Fit(trials, f.options())
	if err != nil {
		return fmt.Errorf("cannot fit the trials: %w", err)
	}
	return a.showWindow(window, f)
}

// readTrials reads the list of trials. If it is to be made at the bench, it need
// not exist yet.
func (a *app) readTrials(path string, interactive bool) ([]fit.Trial, error) {
	if path == "" {
		return nil, nil
	}
	file, _, err := a.files.Await(path)
	if interactive && errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, problem.CannotRead(fmt.Errorf("cannot read the trials: %w", err))
	}
	defer file.Close()
	trials, err := lists.ReadTrials(file, files.NameOf(path))
	if err != nil {
		return nil, problem.CannotRead(err)
	}
	return trials, nil
}

// showWindow prints, draws and writes the result.
func (a *app) showWindow(window fit.Window, f *calibrateFlags) error {
	file, err := a.loadRig(f.rig)
	if err != nil {
		return err
	}
	a.talk.standAside(f.out)
	if f.asJSON {
		err = export.Window(a.talk.out, window, f.goal)
	} else {
		a.talk.Window(window, f.goal, file.Rig.Camera)
	}
	if err == nil && f.out != "" {
		err = a.drawWindow(window, f)
	}
	if err == nil && f.write != "" {
		err = a.writeWindow(window, f.write)
	}
	return err
}

// writeWindow writes the measured ranges into a rig file.
func (a *app) writeWindow(window fit.Window, path string) error {
	known, missing := window.ForRig()
	if len(known) == 0 {
		return fmt.Errorf("nothing written to %s: %w", path, errors.Join(missing...))
	}
	if err := window.CheckOrder(); err != nil {
		return fmt.Errorf("nothing written to %s: %w", path, err)
	}
	if err := a.writeThresholds(known, path); err != nil {
		return err
	}
	for _, why := range missing {
		a.talk.note("not updated: %v", why)
	}
	return nil
}

// writeThresholds writes ranges of thresholds into a rig file.
func (a *app) writeThresholds(known []fit.Known, path string) error {
	if path == "-" {
		return problem.WrongUsage(errors.New("found --update -, want the name of a rig file"))
	}
	file, text, err := a.readRig(path)
	if err != nil {
		return err
	}
	var keys, said []string
	for _, k := range known {
		k.PutInto(&file.Rig.Camera)
		keys = append(keys, "camera."+string(k.Name))
		said = append(said, fmt.Sprintf("%s %s", k.Name, k.Range))
	}
	edited, err := rigfile.EditMeasured(text, path, file.Rig, keys...)
	if err != nil {
		return problem.WrongUsage(err)
	}
	if err := files.Edit(path, edited); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	a.talk.note("written to %s: %s", path, strings.Join(said, ", "))
	return nil
}

// drawWindow draws the trials and the curve of one threshold.
func (a *app) drawWindow(window fit.Window, f *calibrateFlags) error {
	chart, err := figures.Window(window, f.of, plot.Look{Dark: f.dark})
	if err != nil {
		return err
	}
	return a.writeChart(f.out, f.force, chart)
}
