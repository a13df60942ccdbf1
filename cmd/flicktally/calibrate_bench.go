package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"strings"

	"flicktally/sim"
	"flicktally/sim/files"
	"flicktally/sim/fit"
	"flicktally/sim/lists"
	"flicktally/sim/tell"
)

// trialRun leads through trials. Prompts go to standard error, answers are lines.
type trialRun struct {
	talk    *talk
	answers *bufio.Scanner
	options fit.Options
	goal    fit.Goal
	trials  []fit.Trial
	keep    func([]fit.Trial) error    // after every change
	measure func() (sim.Micros, error) // nil: the user types the hold
}

// benchTrials runs trials until the thresholds are known or the user stops, and
// returns all of them.
func (a *app) benchTrials(trials []fit.Trial, path string, f *calibrateFlags) ([]fit.Trial, error) {
	b := &trialRun{
		talk: a.talk, answers: bufio.NewScanner(a.in),
		options: f.options(), goal: f.goal(), trials: trials,
		keep: func(trials []fit.Trial) error {
			if path == "" {
				return nil
			}
			var list bytes.Buffer
			if err := lists.WriteTrials(&list, trials); err != nil {
				return err
			}
			return files.Edit(path, list.Bytes())
		},
	}
	meter, err := a.openHoldMeter(f)
	if err != nil {
		return nil, err
	}
	if meter != nil {
		defer meter.Close()
		b.measure = meter.Measure
	}
	a.talk.note("Props off, the craft tied down, the camera not too hot. Local rules and the makers'\ninstructions come first.")
	if path == "" {
		a.talk.note("These trials are not kept. To keep them: flicktally calibrate --bench trials.csv")
	} else if len(trials) > 0 {
		a.talk.note("%s from %s", tell.Counted(len(trials), "trial", "trials"), path)
	}
	return b.run()
}

func (b *trialRun) run() ([]fit.Trial, error) {
	for {
		window, err := fit.Fit(b.trials, b.options)
		if err != nil {
			return b.trials, fmt.Errorf("cannot fit the trials: %w", err)
		}
		b.tellProgress(window)
		next, more := window.Next(b.goal)
		if !more {
			return b.trials, nil
		}
		b.talk.note("trial %d, for %s: hold %s (%s)", len(b.trials)+1, next.For, next.Hold.Rounded(), next.Why)
		if more, err := b.trial(next.Hold); !more || err != nil {
			return b.trials, err
		}
	}
}

// tellProgress says what is known so far.
func (b *trialRun) tellProgress(w fit.Window) {
	if len(b.trials) > 0 {
		b.talk.note("\nmin_press %s, long_press %s", w.MinPress.RangeText(), w.LongPress.RangeText())
	}
}

// trial makes one trial, or takes one back. more is false when the user stops.
func (b *trialRun) trial(proposed sim.Micros) (more bool, err error) {
	hold, ok, err := b.askHold(proposed)
	if err != nil || !ok {
		return false, err
	}
	if hold == takeBack {
		b.trials = b.trials[:max(0, len(b.trials)-1)]
		return true, b.keep(b.trials)
	}
	outcome, ok := b.askOutcome()
	if !ok {
		return false, nil
	}
	b.trials = append(b.trials, fit.Trial{Hold: hold, Outcome: outcome})
	return true, b.keep(b.trials)
}

// takeBack is the answer that takes back the last trial.
const takeBack sim.Micros = -1

// askHold asks how long the press was held. ok is false at the end.
func (b *trialRun) askHold(proposed sim.Micros) (hold sim.Micros, ok bool, err error) {
	prompt := "held for (Enter = as proposed, or such as 210ms; u = take back the last trial, q = done): "
	if b.measure != nil {
		prompt = "Enter, then flick (u = take back the last trial, q = done): "
	}
	for {
		answer, ok := b.ask(prompt)
		switch {
		case !ok || answer == "q":
			return 0, false, nil
		case answer == "u":
			return takeBack, true, nil
		case b.measure != nil:
			if hold, err = b.measure(); err != nil {
				return 0, false, err
			}
			b.talk.note("held %s", hold.Rounded())
			return hold, true, nil
		case answer == "":
			return proposed, true, nil
		}
		if hold, err := lists.ParseHold(answer); err != nil {
			b.talk.note("%v", err)
		} else {
			return hold, true, nil
		}
	}
}

func (b *trialRun) askOutcome() (outcome fit.Outcome, ok bool) {
	for {
		answer, ok := b.ask("the camera did (n = nothing, t = toggled, l = long action): ")
		if !ok {
			return "", false
		}
		for _, o := range fit.Outcomes {
			if answer != "" && strings.HasPrefix(string(o), answer) {
				return o, true
			}
		}
		b.talk.note("found %q, want n, t or l", answer)
	}
}

// ask prompts for a line; ok is false at the end of input.
func (b *trialRun) ask(prompt string) (answer string, ok bool) {
	io.WriteString(b.talk.err, prompt)
	if !b.answers.Scan() {
		fmt.Fprintln(b.talk.err)
		return "", false
	}
	return strings.ToLower(strings.TrimSpace(b.answers.Text())), true
}
