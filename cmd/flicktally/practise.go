package main

import (
	"crypto/rand"
	"encoding/binary"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/files"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
	"flicktally/sim/season/folders"
	"flicktally/sim/tell"
	"flicktally/trainer"
	"flicktally/trainer/history"
	"flicktally/trainer/practice"
	"flicktally/trainer/progress"
	"flicktally/trainer/term"
)

// practiseFlags are the flags of practise beyond those of every log, which are
// for --flight.
type practiseFlags struct {
	logFlags
	transmitterFlags
	flights    []string
	seasons    []string
	plan       bool
	pattern    string
	resolution sim.Micros
	aim        sim.Micros
	noLink     bool
	bell       bool
	tone       bool
	seed       uint64
	data       string
}

func newPractise(a *app) *cobra.Command {
	var flags practiseFlags
	cmd := &cobra.Command{
		Use:     "practise [DRILL]",
		Aliases: []string{"practice"},
		Short:   "Train the flick in the terminal",
		Long: `Practise trains you to flick, to keep count without a light, and to leave the
switch alone, with your own rig: the model that replays logs decides what the camera
does. Without DRILL a menu opens. The drills:

` + drillList(trainer.Kind.Rule) + `
Each trial ends as right, off (it toggled, but not as asked), missed or early
(before the cue). What counts as right is the same at every level:

` + drillList(trainer.Kind.Right) + `
If the terminal reports when a key is released (progressive keyboard enhancement,
or the Windows console), you hold the space bar to press. Otherwise it latches: tap
to press, tap again to release; a key that is held down is one press. With
--joystick you use the real switch of a transmitter on USB, which is found when you
move it. A press during a pause, or with the help open, resumes and counts. Every
flick is saved in the practice journal within half a second; see: flicktally progress.

Never practise with an armed craft. Take the props off, or leave the craft out
of it: a transmitter on a simulator cable, or with a spare receiver, will do.`,
		Example: `  flicktally practise
  flicktally practise steady --rig heron.toml --bell
  flicktally practise --joystick
  flicktally practise --device /dev/input/event7 --switch "axis 5"
  flicktally practise pattern --pattern rounding.txt
  flicktally practise --flight monday.csv tuesday.csv     repeat what went wrong
  flicktally practise --season flights                    the same, for a season
  flicktally practise --plan                              what to do today`,
		RunE: func(_ *cobra.Command, args []string) error {
			kind, err := flags.takeLogs(args)
			if err != nil {
				return problem.WrongUsage(err)
			}
			return a.practise(kind, &flags)
		},
	}
	flags.add(cmd)
	return cmd
}

// drillList lists the drills, with a text about each.
func drillList(text func(trainer.Kind) string) (list string) {
	for _, k := range trainer.Kinds {
		list += fmt.Sprintf("  %-10s %s\n", k, text(k))
	}
	return list
}

func (f *practiseFlags) add(cmd *cobra.Command) {
	f.logFlags.add(cmd)
	f.transmitterFlags.add(cmd)
	flags := cmd.Flags()
	flags.StringArrayVar(&f.flights, "flight", nil, "replay this `log`, and all further ones, and make a drill of what went wrong at the switch")
	flags.StringArrayVar(&f.seasons, "season", nil, "the same for all flights in this `folder`, as flicktally season finds them")
	flags.BoolVar(&f.plan, "plan", false, "print the plan for today's ten minutes, the progress of each drill, and what went wrong in the flights")
	flags.StringVar(&f.pattern, "pattern", "", "follow the pattern in this `file` instead of the built-in ones")
	addDuration(flags, &f.resolution, "resolution", "the resolution of the input, instead of measuring it")
	addDuration(flags, &f.aim, "aim", "the hold to aim for (default: well inside the press window)")
	flags.BoolVar(&f.noLink, "no-link", false, "leave out the link, refresh and delay of the rig: the camera sees the hold of the hand")
	flags.BoolVar(&f.bell, "bell", false, "ring at each result: once for right, twice for any other")
	flags.BoolVar(&f.tone, "tone", false, "sound while the switch is pressed, faster from the aim on (the terminal's bell); fades out as levels rise")
	flags.Uint64Var(&f.seed, "seed", 0, "repeat a practice by its seed (default: a new one each time)")
	addDataFlag(flags, &f.data, "the `folder` of the practice journal")
}

// takeLogs returns the named drill, and adds the other arguments to the logs of
// --flight.
func (f *practiseFlags) takeLogs(args []string) (kind string, err error) {
	if len(args) > 0 {
		if _, err := trainer.ParseKind(args[0]); err == nil || len(f.flights) == 0 {
			kind, args = args[0], args[1:]
		}
	}
	if len(args) > 0 && len(f.flights) == 0 {
		return "", fmt.Errorf("found %s after the drill, want one drill, or --flight before the logs", excerpt.Quote(args[0]))
	}
	f.flights = append(f.flights, args...)
	return kind, nil
}

// practise shows the screen and reports what was done. It creates the journal's
// folder only once everything else is right.
func (a *app) practise(kind string, f *practiseFlags) error {
	setup, err := a.practiseSetup(kind, f)
	if err != nil {
		return err
	}
	transmitter, err := f.openTransmitter()
	if err != nil {
		return err
	}
	options := practice.Options{Setup: setup, Bell: f.bell, Tone: f.tone}
	device := "keyboard"
	var sources []term.Source
	if transmitter != nil {
		device = transmitter.Called()
		options.Switch = practice.Switch{Name: device, Control: transmitter.Control}
		sources = append(sources, transmitter.Feed)
	}
	journal, err := a.journalIn(f.data)
	if err != nil {
		return err
	}
	notebook := history.NewNotebook(journal, setup.Rig, device, version(), time.Now)
	if f.plan {
		return a.printPlan(notebook, setup.Review)
	}
	options.Notebook = notebook
	screen, err := practice.New(options)
	if err != nil {
		return problem.WrongUsage(err)
	}
	if !a.talk.outTTY {
		return errNoScreen(errors.New("standard output is not a terminal"))
	}
	if _, err := history.Open(f.data); err != nil {
		return err
	}
	return a.runPractise(screen, journal, sources)
}

// runPractise shows the screen until it ends. What was done is saved and reported
// however it ends.
func (a *app) runPractise(screen *practice.Screen, journal *history.Journal, sources []term.Source) error {
	ended := term.Run(screen, sources...)
	done, notKept := screen.End()
	if done.Drills > 0 {
		fmt.Fprintf(a.talk.out, "practised: %s, %s, %s; saved in %s\n", tell.Counted(done.Drills, "drill", "drills"),
			tell.Counted(done.Trials, "trial", "trials"), tell.Counted(done.Flicks, "flick", "flicks"), excerpt.Printable(journal.File()))
		fmt.Fprintf(a.talk.out, "next: flicktally practise %s   your progress: flicktally progress\n", done.Next)
	}
	var noScreen *term.NoScreenError
	switch {
	case errors.As(ended, &noScreen):
		return errNoScreen(ended)
	case ended != nil:
		return ended
	case notKept != nil:
		return fmt.Errorf("some of the practice is not saved: %w", notKept)
	default:
		return nil
	}
}

// errNoScreen says that practice needs a terminal that can show a screen.
func errNoScreen(cause error) error {
	return problem.Hinted(fmt.Errorf("cannot practise here: %w", cause),
		"run it in a terminal window: practice needs a screen")
}

// practiseSetup returns the common setup of all drills from the flags.
func (a *app) practiseSetup(kind string, f *practiseFlags) (trainer.Setup, error) {
	setup := trainer.Setup{
		Aim: f.aim, Resolution: f.resolution, WithoutLink: f.noLink, Seed: f.seed,
	}
	if !f.given("seed") {
		var seed [8]byte
		rand.Read(seed[:]) // never fails
		setup.Seed = binary.LittleEndian.Uint64(seed[:])
	}
	var err error
	if kind != "" {
		if setup.Kind, err = trainer.ParseKind(kind); err != nil {
			return setup, problem.WrongUsage(err)
		}
	}
	file, err := a.loadRigFor(&f.logFlags)
	if err != nil {
		return setup, err
	}
	setup.Rig = file.Rig
	if setup.Pattern, err = a.readPattern(f.pattern); err != nil {
		return setup, problem.WrongUsage(err)
	}
	setup.Review, err = a.mistakesOf(f, file.Rig)
	if err == nil && setup.Kind == trainer.KindReview && setup.Review == nil {
		err = problem.WrongUsage(errors.New("found no flight to review, want --flight LOG or --season FOLDER"))
	}
	return setup, err
}

// readPattern reads a pattern file; nil for none.
func (a *app) readPattern(path string) (*trainer.Pattern, error) {
	if path == "" {
		return nil, nil
	}
	file, _, err := a.files.Await(path)
	if err != nil {
		return nil, fmt.Errorf("cannot read the pattern: %w", err)
	}
	defer file.Close()
	pattern, err := trainer.ReadPattern(file, excerpt.Printable(files.NameOf(path)))
	return &pattern, err
}

// mistakesOf returns what went wrong at the switch in the named flights and in
// all flights of the named seasons. A log of a season that cannot be read is
// noted and skipped.
func (a *app) mistakesOf(f *practiseFlags, rig sim.Rig) ([]trainer.Mistake, error) {
	var mistakes []trainer.Mistake
	add := func(log string) ([]flight.Flight, error) {
		flights, err := a.replayWith(rig, []string{log}, &f.logFlags, logs.Options{})
		for _, f := range flights {
			mistakes = append(mistakes, trainer.Mistakes(f.Findings)...)
		}
		return flights, err
	}
	for _, path := range f.flights {
		flights, err := add(path)
		if err != nil {
			return nil, err
		}
		a.talk.noteOddities(flights)
	}
	seasons, err := folders.Find(f.seasons...)
	if err != nil {
		return nil, problem.CannotRead(fmt.Errorf("cannot look for flights: %w", err))
	}
	for _, outing := range seasons.Outings {
		for _, log := range outing.Logs {
			if _, err := add(log.Path); err != nil {
				a.talk.note("left out %s: %v", filepath.ToSlash(log.Path), err)
			}
		}
	}
	if len(f.flights)+len(f.seasons) > 0 && len(mistakes) == 0 {
		return nil, problem.Hinted(trainer.ErrNoMistake, "practise without --flight and --season offers the other drills")
	}
	return mistakes, nil
}

// printPlan prints what to practise today, by the journal and the mistakes of
// flights.
func (a *app) printPlan(notebook *history.Notebook, mistakes []trainer.Mistake) error {
	known, err := notebook.Known()
	if err == nil {
		progress.WritePlan(a.talk.out, known, mistakes)
	}
	return err
}
