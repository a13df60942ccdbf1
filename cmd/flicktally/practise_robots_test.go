//go:build unix

package main

import (
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/trainer"
	"flicktally/trainer/history"
	"flicktally/trainer/term/termtest"
)

// Robots at the keys of a terminal. None of them practises, so none is right.

// The events of the space bar by progressive keyboard enhancement.
const (
	spaceRepeats = "\x1b[32;1:2u"
	spaceUp      = "\x1b[32;1:3u"
)

// outcomes leaves practice and tells what its trials came to.
func (p *practising) outcomes(t *testing.T) (*history.Drill, []trainer.Outcome) {
	t.Helper()
	p.Type("\x03")
	require.Zero(t, p.WaitForEnd())
	p.RequireRestored()
	drills := p.drills(t)
	require.Len(t, drills, 1)
	var outcomes []trainer.Outcome
	for _, r := range drills[0].Results {
		outcomes = append(outcomes, r.Outcome)
	}
	return drills[0], outcomes
}

// hammer types keys again and again, until a trial is told to have come to one of
// the outcomes.
func (p *practising) hammer(t *testing.T, keys string, every time.Duration, outcomes ...trainer.Outcome) {
	t.Helper()
	for patience := time.After(termtest.Patience); ; {
		p.Type(keys)
		select {
		case <-time.After(every):
		case <-patience:
			t.Fatal("no trial came to it")
		}
		if slices.ContainsFunc(outcomes, func(o trainer.Outcome) bool { return strings.Contains(p.Seen(), string(o)) }) {
			return
		}
	}
}

func TestARobotThatDoesNothingMisses(t *testing.T) {
	t.Parallel()
	p := startPractise(t, "flick")
	p.WaitFor("missed", 1)
	drill, outcomes := p.outcomes(t)
	require.Contains(t, outcomes, trainer.OutcomeMissed)
	require.NotContains(t, outcomes, trainer.OutcomeRight)
	require.Empty(t, drill.Flicks)
}

func TestARobotThatFlicksWithoutACueIsNeverRight(t *testing.T) {
	t.Parallel()
	p := startPractise(t, "flick")
	p.WaitFor("cue: wait", 1)
	p.hammer(t, "  ", 400*time.Millisecond, trainer.OutcomeEarly)
	_, outcomes := p.outcomes(t)
	require.Contains(t, outcomes, trainer.OutcomeEarly)
	require.NotContains(t, outcomes, trainer.OutcomeRight)
}

func TestARobotThatHammersIsNeverRight(t *testing.T) {
	t.Parallel()
	p := startPractise(t, "pattern")
	p.WaitFor("standby", 1)
	p.hammer(t, " ", 130*time.Millisecond, trainer.OutcomeEarly, trainer.OutcomeMissed)
	_, outcomes := p.outcomes(t)
	require.NotContains(t, outcomes, trainer.OutcomeRight)
}

// The first run is two keys away from the first flick, and guides it.
func TestTheFirstRunThroughATerminal(t *testing.T) {
	t.Parallel()
	p := startPractise(t)
	p.WaitFor("again: release", 1)
	p.WaitFor("cue: flick", 1)
	p.Type(" ")
	p.WaitFor("switch: pressed", 1)
	time.Sleep(200 * time.Millisecond)
	p.Type(" ")
	p.WaitFor("last: ", 1)
	drill, _ := p.outcomes(t)
	require.Len(t, drill.Flicks, 1)
}

func TestTheToneIsTheTerminalsBell(t *testing.T) {
	t.Parallel()
	p := startPractise(t, "flick", "--tone")
	p.WaitFor("standby", 1)
	require.NotContains(t, p.Seen(), "\a")
	p.Type(" ")
	p.WaitFor("\a", 4)
	p.Type("\x03")
	require.Zero(t, p.WaitForEnd())
}

// A terminal that tells of presses only writes a key that is held down as a row of
// them: one press, and a line that says how it is to be done.
func TestARobotThatHoldsTheKeyPressesOnce(t *testing.T) {
	t.Parallel()
	p := startPractise(t, "flick")
	p.ReportsReleases(false, 1)
	p.WaitFor("standby", 1)
	p.Type(strings.Repeat(" ", 40))
	p.WaitFor("tap = press, tap again = release", 1)
	p.WaitFor("switch: pressed", 1)
	drill, outcomes := p.outcomes(t)
	require.Empty(t, drill.Flicks)
	require.NotContains(t, outcomes, trainer.OutcomeRight)
}

// Where the terminal reports releases, the same key is one flick, as long as it is
// held.
func TestAKeyIsHeldOnATerminalThatReportsReleases(t *testing.T) {
	t.Parallel()
	p := startPractise(t, "flick")
	p.ReportsReleases(true, 1)
	p.WaitFor("hold space to press", 1)
	for n := range 2 {
		p.Type(" ")
		p.WaitFor("switch: pressed", n+1)
		for range 5 {
			p.Type(spaceRepeats)
			time.Sleep(30 * time.Millisecond)
		}
		p.Type(spaceUp)
		p.WaitFor("switch: rest", n+2)
	}
	require.NotContains(t, p.Seen(), "tap = press")
	drill, _ := p.outcomes(t)
	require.Len(t, drill.Flicks, 2)
	for _, f := range drill.Flicks {
		require.GreaterOrEqual(t, f.Hold().Duration(), 150*time.Millisecond)
	}
}

// What was asked of the terminal is taken back however practice ends, and asked
// again after a stop.
func TestTheKeyboardComesBack(t *testing.T) {
	for name, end := range map[string]func(*termtest.Console){
		"q":       func(c *termtest.Console) { c.Type("qq") },
		"SIGTERM": termtest.Send(syscall.SIGTERM),
		"ctrl-z": func(c *termtest.Console) {
			c.Type("\x1a")
			c.ReportsReleases(true, 2)
			c.WaitFor("hold space to press", 1)
			c.Type("\x03")
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := startPractise(t, "flick")
			p.ReportsReleases(true, 1)
			p.WaitFor("hold space to press", 1)
			require.Contains(t, p.Seen(), termtest.WantReleases)
			end(p.Console)
			p.WaitForEnd()
			p.RequireRestored()
		})
	}
}
