// Package trials guides a person through trials at the bench: it proposes the next
// hold, and asks how long the press was held and what the camera did.
package trials

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"flicktally/sim"
	"flicktally/sim/fit"
	"flicktally/sim/lists"
)

// Run is a run of trials. It ends when the goal is reached or the person stops.
type Run struct {
	Options fit.Options
	Goal    fit.Goal
	Trials  []fit.Trial // so far
	Answers io.Reader   // one per line
	Prompts io.Writer
	Note    func(format string, args ...any) // shows something besides the prompts
	Keep    func([]fit.Trial) error          // called after every change
	Measure func() (sim.Micros, error)       // measures a hold; nil if it is typed

	answers *bufio.Scanner
}

// Guide runs the trials and returns all of them, even with an error.
func (b *Run) Guide() ([]fit.Trial, error) {
	b.answers = bufio.NewScanner(b.Answers)
	for {
		window, err := fit.Fit(b.Trials, b.Options)
		if err != nil {
			return b.Trials, fmt.Errorf("cannot fit the trials: %w", err)
		}
		if len(b.Trials) > 0 {
			b.Note("\nmin_press %s, long_press %s", window.MinPress.RangeText(), window.LongPress.RangeText())
		}
		next, more := window.Next(b.Goal)
		if !more {
			return b.Trials, nil
		}
		b.Note("trial %d, for %s: hold %s (%s)", len(b.Trials)+1, next.For, next.Hold.Rounded(), next.Why)
		if more, err := b.trial(next.Hold); !more || err != nil {
			return b.Trials, err
		}
	}
}

// trial runs one trial, or takes one back. more is false when the person stops.
func (b *Run) trial(proposed sim.Micros) (more bool, err error) {
	hold, ok, err := b.askHold(proposed)
	if err != nil || !ok {
		return false, err
	}
	if hold == takeBack {
		b.Trials = b.Trials[:max(0, len(b.Trials)-1)]
		return true, b.Keep(b.Trials)
	}
	outcome, ok := b.askOutcome()
	if !ok {
		return false, nil
	}
	b.Trials = append(b.Trials, fit.Trial{Hold: hold, Outcome: outcome})
	return true, b.Keep(b.Trials)
}

// takeBack is the answer that takes back the last trial.
const takeBack sim.Micros = -1

// askHold asks how long the press was held. ok is false when the person stops.
func (b *Run) askHold(proposed sim.Micros) (hold sim.Micros, ok bool, err error) {
	prompt := "held for (Enter = as proposed, or such as 210ms; u = take back the last trial, q = done): "
	if b.Measure != nil {
		prompt = "Enter, then flick (u = take back the last trial, q = done): "
	}
	for {
		answer, ok := b.ask(prompt)
		switch {
		case !ok || answer == "q":
			return 0, false, nil
		case answer == "u":
			return takeBack, true, nil
		case b.Measure != nil:
			if hold, err = b.Measure(); err != nil {
				return 0, false, err
			}
			b.Note("held %s", hold.Rounded())
			return hold, true, nil
		case answer == "":
			return proposed, true, nil
		}
		if hold, err := lists.ParseHold(answer); err != nil {
			b.Note("%v", err)
		} else {
			return hold, true, nil
		}
	}
}

func (b *Run) askOutcome() (outcome fit.Outcome, ok bool) {
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
		b.Note("found %q, want n, t or l", answer)
	}
}

// ask prompts for a line; ok is false at the end of input.
func (b *Run) ask(prompt string) (answer string, ok bool) {
	io.WriteString(b.Prompts, prompt)
	if !b.answers.Scan() {
		fmt.Fprintln(b.Prompts)
		return "", false
	}
	return strings.ToLower(strings.TrimSpace(b.answers.Text())), true
}
