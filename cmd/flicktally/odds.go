package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"flicktally/plot"
	"flicktally/plot/figures"
	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/export"
	"flicktally/sim/flight"
	"flicktally/sim/habit"
	"flicktally/sim/logs"
	"flicktally/sim/odds"
	"flicktally/sim/problem"
	"flicktally/sim/tell"
	"flicktally/trainer/history"
)

type oddsFlags struct {
	pictureFlags
	logFlags
	hold      sim.Micros
	spread    odds.Spread
	practised bool
	data      string
	travel    sim.Micros
	bounce    sim.Micros
	flicks    int
	want      float64
	simulate  int
	seed      uint64
	asJSON    bool
}

func newOdds(a *app) *cobra.Command {
	flags := oddsFlags{spread: exampleSpread, want: 0.99}
	cmd := &cobra.Command{
		Use:   "odds [LOG...]",
		Short: "Show how likely a flick is to toggle, which hold to aim for, what to change",
		Long: `Odds computes, from the rig and from how much a pilot's holds scatter, the chance
that a flick toggles for every hold that a pilot may aim for. It considers the
radio link, lost frames, the line's refresh, settle, the one-shot, and where the
camera's window may lie. It shows the hold to aim for, the band of safe holds, the
chance that a whole flight loses no take, and what to change, ranked by the flicks
that each change saves.

The hold to aim for depends on the rig alone; practice and bench card give the same
one. Another hold is shown beside it if your hand would lose at least one flick in a
thousand fewer with it.

The scatter of the holds is given (--spread 12%, --spread 25ms, --spread 20ms+8%),
or measured from practice (--practised) or from the flicks in logs. It is that of
the hand: the effects of sampling and of the frames of [link] are removed by maximum
likelihood. Its 95 % interval is printed. Slips, holds far from all others, are
counted separately and are part of every chance.

The link is that of [link] in the rig; without it, the link is perfect. Holds are
assumed to be normally distributed and independent. Chances are computed by formula
and checked by simulation. If the contacts bounce (--bounce), or lost frames act in
the middle of a flick, chances are simulated instead and have a standard error.`,
		Example: `  flicktally odds --rig heron.toml
  flicktally odds --rig heron.toml --hold 150ms --spread 15%
  flicktally odds --rig heron.toml sunday.csv -o odds.png
  flicktally odds --rig heron.toml --practised --flicks 20
  flicktally odds --rig heron.toml --hold 200ms --bounce 6ms`,
		RunE: func(_ *cobra.Command, paths []string) error {
			if err := flags.check(paths); err != nil {
				return problem.WrongUsage(err)
			}
			question, err := a.oddsQuestion(paths, &flags)
			if err != nil {
				return err
			}
			if err := question.Case.Check(); err != nil {
				return problem.WrongUsage(fmt.Errorf("cannot compute the odds with this rig: %w", err))
			}
			return a.printOdds(question.Report(), &flags)
		},
	}
	flags.add(cmd)
	return cmd
}

func (f *oddsFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	addDuration(flags, &f.hold, "hold", "the hold that you aim for now (default: as practised or logged, else the hold to aim for)")
	addValue(flags, &f.spread, "spread", "spread", "how holds scatter (standard deviation): 12%, 25ms, 20ms+8%", odds.ParseSpread,
		func(s odds.Spread) string { return strings.TrimSuffix(s.String(), " of the hold") })
	flags.BoolVar(&f.practised, "practised", false, "measure hold and spread from practice with this rig")
	addDataFlag(flags, &f.data, "the `folder` of the practice journal")
	addDuration(flags, &f.travel, "travel", "how long a three-position lever takes from the centre to its end")
	addDuration(flags, &f.bounce, "bounce", "the longest time for which the contacts bounce after a move")
	flags.IntVar(&f.flicks, "flicks", 12, "how many flicks a flight has")
	addValue(flags, &f.want, "want", "percent", "the chance of toggling from which a hold counts as safe", odds.ParsePercent,
		func(share float64) string { return fmt.Sprintf("%g%%", 100*share) })
	flags.IntVar(&f.simulate, "simulate", 0, "how many flicks to simulate (default 1000000 to check the formula, 10000 per hold if there is none)")
	flags.Uint64Var(&f.seed, "seed", 1, "the seed of the simulation; the same seed gives the same numbers")
	flags.BoolVar(&f.asJSON, "json", false, "print JSON")
	f.pictureFlags.add(flags, "draw the odds over the hold into this `file` (.png, .svg, .pdf)")
	f.logFlags.add(cmd)
}

// exampleSpread is the default, near the upper end of published values for
// intervals that people produce.
var exampleSpread = odds.Spread{Relative: 0.1}

func (f *oddsFlags) check(paths []string) error {
	switch {
	case f.practised && len(paths) > 0:
		return errors.New("found --practised and logs, want only one of them")
	case f.flicks < 1 || f.flicks > 10_000:
		return fmt.Errorf("found --flicks %d, want 1 to 10000", f.flicks)
	case f.simulate < 0 || f.simulate > 1_000_000_000:
		return fmt.Errorf("found --simulate %d, want 0 to 1000000000", f.simulate)
	case f.given("hold") && f.hold == 0:
		return errors.New("found --hold 0s, want a hold of more than 0")
	case f.bounce > sim.Second || f.travel > sim.Second:
		return errors.New("found a --bounce or --travel of more than a second, want a few milliseconds")
	}
	return f.pictureFlags.check()
}

// oddsQuestion returns the question asked by the flags.
func (a *app) oddsQuestion(paths []string, f *oddsFlags) (*odds.Query, error) {
	q := &odds.Query{
		Hold:   f.hold,
		Source: "an example until you give yours (--spread, --practised, or logs)",
		Flicks: f.flicks, Wanted: f.want,
	}
	file, err := a.loadRigFor(&f.logFlags)
	if err != nil {
		return nil, err
	}
	q.Case = odds.Case{Rig: file.Rig, Pilot: odds.Pilot{
		Spread: f.spread, Travel: f.travel, Bounce: f.bounce,
	}}
	if f.given("spread") {
		q.Source = "as given"
	}
	if err := a.addHabit(q, paths, f); err != nil {
		return nil, err
	}
	q.Sampling = odds.Sampling{Flicks: f.simulate, Seed: f.seed, Each: onAllCores}
	if f.simulate == 0 {
		q.Sampling.Flicks = 1_000_000
		if !q.Case.Closed() {
			q.Sampling.Flicks = 10_000
		}
	}
	return q, nil
}

// addHabit measures slips from what the pilot did, and hold and spread unless
// they were given.
func (a *app) addHabit(q *odds.Query, paths []string, f *oddsFlags) error {
	var held []habit.Held
	var source string
	var err error
	link := sim.LinkSpec{} // between the hand and the observation
	switch {
	case !q.Case.HoldMatters():
		if f.practised || len(paths) > 0 {
			q.Source = "an example, since holds do not matter if both edges start a pulse"
		}
		return nil
	case f.practised:
		var device string
		var practice *history.History
		if practice, err = a.readPractice(&progressFlags{data: f.data}); err == nil {
			held, device = practice.Holds(q.Case.Rig)
		}
		source = "practice on this rig"
		if device != "" {
			source += " with " + excerpt.Printable(device)
		}
	case len(paths) > 0:
		source, link = tell.Counted(len(paths), "log", "logs"), q.Case.Rig.Link
		var flights []flight.Flight
		flights, err = a.replayWith(q.Case.Rig, paths, &f.logFlags, logs.Options{})
		for _, one := range flights {
			held = append(held, habit.Logged(one.Replay.Flicks)...)
		}
	default:
		return nil
	}
	if err != nil {
		return err
	}
	h, err := habit.Of(held, link)
	if err != nil {
		return fmt.Errorf("cannot measure the spread from %s: %w", source, err)
	}
	q.Slips, q.Case.Pilot.Slips = h.SlipRate, h.Slips
	if !f.given("hold") {
		q.Hold = h.Hold
	}
	if !f.given("spread") {
		q.Case.Pilot.Spread = h.Spread
		q.Source = fmt.Sprintf("from %s in %s, 95 %%: %.3g to %.3g%%",
			tell.Counted(h.Flicks, "flick", "flicks"), source, 100*h.Within.Low, 100*h.Within.High)
	}
	return nil
}

// printOdds draws the chart, if one is wanted, and prints the result.
func (a *app) printOdds(o *odds.Report, f *oddsFlags) error {
	a.talk.standAside(f.out)
	err := a.draw(&f.pictureFlags, func(look plot.Look) (*plot.Chart, error) { return figures.Odds(o, look) })
	if err != nil {
		return err
	}
	if f.asJSON {
		return export.Odds(a.talk.out, o)
	}
	a.talk.Odds(o)
	return nil
}
