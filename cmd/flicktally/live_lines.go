package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
	"flicktally/sim/tell"
	"flicktally/trainer/liveview"
	"flicktally/trainer/term"
)

// liveTeller tells of a stream in lines.
type liveTeller interface {
	press(segment int, p sim.Press) error
	// tally tells the present moment if it is worth a line; last says that none
	// follows.
	tally(v live.View, last bool) error
}

// lookLive is how often lines look at the stream.
const lookLive = 50 * time.Millisecond

// talkLive tells of the stream in lines until it ends, somebody says q, or a
// signal comes. Where nobody can read the lines any more, it goes on without them
// if there is something else to keep.
func (a *app) talkLive(s *session.Session, teller liveTeller, f *liveFlags) error {
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer signal.Stop(signals)
	quit := make(chan struct{})
	if f.keys {
		go a.heedKeys(s, quit)
	}
	tick := time.NewTicker(lookLive)
	defer tick.Stop()
	presses := pressTeller{teller: teller, segment: 1}
	mute := false
	for {
		var by os.Signal
		last := true
		select {
		case <-tick.C:
			last = false
		case <-s.Ended():
		case <-quit:
		case by = <-signals:
		case cause := <-s.Broken():
			panic(cause)
		}
		if !mute && a.lookAndTell(s, &presses, teller, last) != nil {
			if !f.keeps() {
				return nil
			}
			a.talk.note("nobody reads standard output any more; the flight is kept")
			mute = true
		}
		switch {
		case by != nil && by != os.Interrupt:
			return &term.SignalError{Signal: by}
		case last:
			return nil
		}
	}
}

func (a *app) lookAndTell(s *session.Session, presses *pressTeller, teller liveTeller, last bool) error {
	for _, news := range s.News() {
		a.talk.note("%s", news)
	}
	view := s.Look()
	err := presses.tell(s.Before(), view)
	if err == nil {
		err = teller.tally(view, last)
	}
	return err
}

// heedKeys takes what somebody says on standard input.
func (a *app) heedKeys(s *session.Session, quit chan<- struct{}) {
	lights := map[string]belief.Light{"r": belief.LightRecording, "s": belief.LightStandby, "o": belief.LightOff}
	lines := bufio.NewScanner(a.in)
	for lines.Scan() {
		word := lines.Text()
		light, isLight := lights[word]
		switch {
		case isLight:
			if g, ok := s.See(light); ok {
				a.talk.note("light: %s at %s", light, g.At.FineClock())
			} else {
				a.talk.note("too early: nothing has come yet")
			}
		case word == "u":
			s.Unsee()
		case word == "q":
			close(quit)
			return
		default:
			a.talk.note("found %q, want r, s or o for what the light says, u to undo, or q", word)
		}
	}
}

// pressTeller tells of every press once, when it is over.
type pressTeller struct {
	teller  liveTeller
	segment int
	told    int // presses of the segment
}

// tell tells of what is new, first in the flights that are over.
func (t *pressTeller) tell(before []live.Flight, v live.View) error {
	for _, f := range before {
		if f.Segment < t.segment {
			continue
		}
		replay := f.Replay
		if known, err := belief.Resolve(replay, belief.Observations{Seen: f.Seen}); err == nil {
			replay = known.Replay
		}
		if err := t.tellPresses(replay.Presses); err != nil {
			return err
		}
		t.segment, t.told = f.Segment+1, 0
	}
	return t.tellPresses(v.Past)
}

func (t *pressTeller) tellPresses(presses []sim.Press) error {
	for ; t.told < len(presses); t.told++ {
		if err := t.teller.press(t.segment, presses[t.told]); err != nil {
			return err
		}
	}
	return nil
}

// plainTeller tells in lines of text.
type plainTeller struct {
	out  io.Writer
	told string // what the last line said, without what only runs on
}

func (t *plainTeller) press(_ int, p sim.Press) error {
	verdict := string(p.Verdict)
	if p.Doubtful {
		verdict += " (doubtful)"
	}
	up := p.Up
	if p.Open() {
		up = p.Down
	}
	_, err := fmt.Fprintf(t.out, "%s  press %d: held %s, %s\n", up.Clock(), p.N, tell.Held(p), verdict)
	return err
}

func (t *plainTeller) tally(v live.View, last bool) error {
	now := changing(v)
	if now == t.told && !last {
		return nil
	}
	t.told = now
	_, err := fmt.Fprintln(t.out, liveview.Line(v))
	return err
}

// changing tells what of a view is news when it changes.
func changing(v live.View) string {
	return fmt.Sprint(v.Input, v.Segment, v.State, v.Take.N, v.Phase, v.Seen, v.Doubts, v.SafeAt == sim.Never, v.SafeAt > v.At)
}
