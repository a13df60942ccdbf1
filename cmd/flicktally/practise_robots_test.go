//go:build unix

package main

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
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
	spaceDown    = "\x1b[32;;32u"
	spaceRepeats = "\x1b[32;1:2;32u"
	spaceUp      = "\x1b[32;1:3u"
)

// outcomes leaves practice and returns its drill and the outcomes of its trials.
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

// hammer types keys again and again, until the screen shows one of the outcomes.
func (p *practising) hammer(t *testing.T, keys string, every time.Duration, outcomes ...trainer.Outcome) {
	t.Helper()
	for patience := time.After(termtest.Patience); ; {
		p.Type(keys)
		select {
		case <-time.After(every):
		case <-patience:
			t.Fatalf("no trial was one of %q", outcomes)
		}
		if slices.ContainsFunc(outcomes, func(o trainer.Outcome) bool { return strings.Contains(p.Seen(), string(o)) }) {
			return
		}
	}
}

// TestWhatRobotsDoIsJudgedAsItWas: one robot for each way to do a task wrong or by
// half. They work at the same time, since they mostly wait. A screen writes only the
// cells that change, so each waits for a word that is nowhere else.
func TestWhatRobotsDoIsJudgedAsItWas(t *testing.T) {
	t.Parallel()
	robots := map[string]func(*testing.T){}
	for name, robot := range map[string]struct {
		drill string
		does  func(*practising)
		want  trainer.Outcome
	}{
		"a flick without a hold": {"flick", func(p *practising) {
			p.WaitFor("cue: flick", 1)
			p.Type("  ")
		}, trainer.OutcomeMissed},
		"a steady hold of three times the aim": {"steady", func(p *practising) {
			p.WaitFor("cue: flick", 1)
			p.hold(1040 * time.Millisecond)
		}, trainer.OutcomeOff},
		"a take that never stops": {"take", func(p *practising) {
			p.WaitFor("start", 1)
			p.flick()
		}, trainer.OutcomeMissed},
		"a cut that stops only": {"cut", func(p *practising) {
			p.WaitFor("stop,", 1)
			p.flick()
		}, trainer.OutcomeMissed},
		"a pattern of presses far too long": {"pattern", func(p *practising) {
			p.WaitFor("follow", 1)
			p.hold(1500 * time.Millisecond)
			p.hold(1500 * time.Millisecond)
		}, trainer.OutcomeOff},
		"a touch with the hands off": {"hands-off", func(p *practising) {
			p.WaitFor("cue: wait", 1)
			p.Type(" ")
		}, trainer.OutcomeEarly},
		"a pause in the middle": {"flick", func(p *practising) {
			p.WaitFor("cue: flick", 1)
			p.Type(" ")
			p.WaitFor("switch: pressed", 1)
			p.Type("p")
		}, trainer.OutcomeMissed},
		"the key that leaves a trial": {"take", func(p *practising) {
			p.WaitFor("start", 1)
			p.flick()
			p.WaitFor("stop", 1)
			p.Type("\r")
		}, trainer.OutcomeMissed},
		"a press in a pause": {"flick", func(p *practising) {
			p.WaitFor("standby", 1)
			p.Type("p")
			p.WaitFor("paused", 1)
			p.flick()
		}, trainer.OutcomeEarly},
		"a press over the help": {"flick", func(p *practising) {
			p.WaitFor("standby", 1)
			p.Type("?")
			p.WaitFor("question", 1)
			p.hold(200 * time.Millisecond)
		}, trainer.OutcomeEarly},
	} {
		robots[name] = func(t *testing.T) {
			p := startPractise(t, robot.drill, "--seed", "4")
			robot.does(p)
			p.waitForTrial(t)
			_, outcomes := p.outcomes(t)
			requireOr(t, robot.want, outcomes[0])
		}
	}
	robots["a take of another length"] = takeOfAnotherLength
	robots["a blind count"] = func(t *testing.T) { blindCount(t, true) }
	robots["a blind count answered wrong"] = func(t *testing.T) { blindCount(t, false) }
	robots["a stroke where every move is a flick"] = strokeWhereEveryMoveIsAFlick
	var atWork sync.WaitGroup
	for name, robot := range robots {
		atWork.Go(func() { t.Run(name, robot) })
	}
	atWork.Wait()
}

// takeOfAnotherLength is off by the difference in seconds, and right if that is
// small.
func takeOfAnotherLength(t *testing.T) {
	p := startPractise(t, "take", "--seed", "4")
	p.WaitFor("start", 1)
	p.flick()
	p.WaitFor("stop", 1)
	p.flick()
	p.waitForTrial(t)
	drill, outcomes := p.outcomes(t)
	off := drill.Results[0].Off
	took := drill.Flicks[len(drill.Flicks)-1].Took
	allows := max(500*time.Millisecond, (took-off).Duration()*15/100)
	requireOr(t, map[bool]trainer.Outcome{true: trainer.OutcomeRight, false: trainer.OutcomeOff}[off.Duration().Abs() <= allows], outcomes[0])
}

// blindCount is right if the answer is.
func blindCount(t *testing.T, truly bool) {
	p := startPractise(t, "blind", "--seed", "4")
	flicks := 0
	for p.waitForCue("flick", "answer") == "flick" {
		p.flick()
		p.waitForCue("wait", "answer")
		flicks++
	}
	p.Type(map[bool]string{true: "y", false: "n"}[flicks%2 == 1 == truly])
	p.waitForTrial(t)
	_, outcomes := p.outcomes(t)
	requireOr(t, map[bool]trainer.Outcome{true: trainer.OutcomeRight, false: trainer.OutcomeOff}[truly], outcomes[0])
}

// strokeWhereEveryMoveIsAFlick makes one flick, even on a terminal that reports
// when the key is released.
func strokeWhereEveryMoveIsAFlick(t *testing.T) {
	rig := filepath.Join(t.TempDir(), "both.toml")
	require.NoError(t, os.WriteFile(rig, []byte("[oneshot]\ntrigger = \"both\"\n"), 0o600))
	p := startPractise(t, "flick", "--rig", rig)
	p.ReportsReleases(true, 1)
	p.WaitFor("cue: flick", 1)
	p.Type(spaceDown)
	p.WaitFor("switch: pressed", 1)
	p.Type(spaceRepeats + spaceUp)
	p.waitForTrial(t)
	drill, outcomes := p.outcomes(t)
	require.Len(t, drill.Flicks, 1)
	requireOr(t, trainer.OutcomeRight, outcomes[0])
}

// requireOr checks the outcome of a trial. On a busy machine a robot may miss the
// cue instead.
func requireOr(t *testing.T, want, got trainer.Outcome) {
	t.Helper()
	if got != trainer.OutcomeMissed {
		require.Equal(t, want, got)
	}
}

// hold holds the key for at least a duration.
func (p *practising) hold(d time.Duration) {
	p.Type(" ")
	time.Sleep(d)
	p.Type(" ")
}

var cueWord = regexp.MustCompile(`cue: ([a-z]+)`)

// waitForCue waits until one of these is the cue, and returns it.
func (p *practising) waitForCue(cues ...string) (cue string) {
	p.WaitUntil(func(seen string) bool {
		all := cueWord.FindAllStringSubmatch(seen, -1)
		if len(all) == 0 {
			return false
		}
		cue = all[len(all)-1][1]
		return slices.Contains(cues, cue)
	}, "no cue was one of %q", cues)
	return cue
}

// waitForTrial waits until a trial is in the journal.
func (p *practising) waitForTrial(t *testing.T) {
	t.Helper()
	require.Eventually(t, func() bool {
		drills := p.drills(t)
		return len(drills) == 1 && len(drills[0].Results) > 0
	}, termtest.Patience, 10*time.Millisecond)
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

// A first run needs two keys until the first flick, and guides the pilot there.
func TestTheFirstRunThroughATerminal(t *testing.T) {
	t.Parallel()
	p := startPractise(t)
	p.WaitFor("on cue: space = press", 1)
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

// A terminal without releases repeats a key that is held down: that is one press,
// and a line says what to do instead.
func TestARobotThatHoldsTheKeyPressesOnce(t *testing.T) {
	t.Parallel()
	p := startPractise(t, "flick")
	p.ReportsReleases(false, 1)
	p.WaitFor("standby", 1)
	p.Type(strings.Repeat(" ", 40))
	p.WaitFor("tap = press, again = release", 1)
	p.WaitFor("switch: pressed", 1)
	drill, outcomes := p.outcomes(t)
	require.Empty(t, drill.Flicks)
	require.NotContains(t, outcomes, trainer.OutcomeRight)
}

// On a terminal that reports releases, the same key is one flick, which lasts as
// long as the key is held.
func TestAKeyIsHeldOnATerminalThatReportsReleases(t *testing.T) {
	t.Parallel()
	p := startPractise(t, "flick")
	p.ReportsReleases(true, 1)
	p.WaitFor("hold space to press", 1)
	for n := range 2 {
		p.Type(spaceDown)
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

// Practice resets the keyboard mode however it ends, and sets it again after a
// stop.
func TestTheKeyboardComesBack(t *testing.T) {
	t.Parallel()
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
