// Package livelines reports a tally while it happens: in sentences, in lines of JSON,
// and by sound. Its output never waits for a reader ([Outlet]), as the record of the
// flight must not depend on one.
package livelines

import (
	"bufio"
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"syscall"
	"time"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
	"flicktally/trainer/liveview"
	"flicktally/trainer/term"
)

// teller reports on a stream.
type teller interface {
	press(segment int, p sim.Press, r *sim.Replay) error
	unseen(segment int, f sim.Flick) error // a flick that never reached the camera
	begins(take sim.Take) error
	ends(take sim.Take) error
	off(at sim.Micros) error
	// tally reports the current moment if it is worth a line; last says that it is the
	// last one.
	tally(v live.View, last bool) error
}

// lookEvery is the interval between two views of the tally.
const lookEvery = 50 * time.Millisecond

// Options says how a tally is reported in lines.
type Options struct {
	JSON  bool       // lines of JSON instead of sentences
	Every sim.Micros // with JSON, at most this long between two tallies, in stream time
	Whole bool       // the input is a complete file
	Keys  io.Reader  // lines that say what the camera's light shows; nil = none
	Keeps bool       // continue when the output fails, as the flight is recorded
	Note  func(format string, args ...any)
}

// Tell reports on the stream in lines until the stream ends, the output fails,
// Keys gives a q, or a signal comes. After a signal other than an interrupt it returns a
// [term.SignalError].
func Tell(s *session.Session, out *Outlet, o Options) error {
	if o.JSON {
		return o.talk(s, out, &jsonTeller{out: out, about: s, every: o.Every})
	}
	return o.talk(s, out, newPlainTeller(out, o.Whole))
}

func (o Options) talk(s *session.Session, out *Outlet, teller teller) error {
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer signal.Stop(signals)
	stopped, quit := context.WithCancel(context.Background())
	defer quit()
	if o.Keys != nil {
		go o.heedKeys(s, quit)
	}
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	news := historyTeller{teller: teller, segment: 1}
	mute := false
	for {
		var by os.Signal
		last := true
		select {
		case <-tick.C:
			last = false
		case <-s.Ended():
		case <-stopped.Done():
		case by = <-signals:
		case cause := <-s.Broken():
			panic(cause)
		}
		if !mute && cmp.Or(o.lookAndReport(s, &news, last), out.failed()) != nil {
			if !o.Keeps {
				return nil
			}
			o.Note("standard output is no longer read; the flight is still recorded")
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

func (o Options) lookAndReport(s *session.Session, news *historyTeller, last bool) error {
	for _, sentence := range s.News() {
		o.Note("%s", sentence)
	}
	view := s.Look()
	err := news.report(s.Before(), view)
	if err == nil {
		err = news.teller.tally(view, last)
	}
	return err
}

// heedKeys handles the lines on standard input.
func (o Options) heedKeys(s *session.Session, quit func()) {
	lights := map[string]belief.Light{"r": belief.LightRecording, "s": belief.LightStandby, "o": belief.LightOff}
	lines := bufio.NewScanner(o.Keys)
	for lines.Scan() {
		word := lines.Text()
		light, isLight := lights[word]
		switch {
		case isLight:
			if g, ok := s.See(light); ok {
				o.Note("light: %s at %s", light, g.At.FineClock())
			} else {
				o.Note("too early: nothing received yet")
			}
		case word == "u":
			s.Unsee()
		case word == "q":
			quit()
			return
		default:
			o.Note("found %q, want r, s or o for the light, u to undo, or q", word)
		}
	}
}

// historyTeller reports each event once, in order of time: each press when it
// is over, each take when it starts and ends, and the camera switching off. The
// times are the log's own, so equal logs give equal reports at any speed.
type historyTeller struct {
	teller   teller
	segment  int
	reported eventCounts
}

// eventCounts counts the events that have been reported of a flight.
type eventCounts struct{ presses, unseen, begins, ends, offs int }

// happening is an event to report.
type happening struct {
	at     sim.Micros
	report func() error
}

// report reports what is new, first of the flights that are over.
func (t *historyTeller) report(before []live.Flight, v live.View) error {
	for _, f := range before {
		if f.Segment < t.segment {
			continue
		}
		replay := f.Replay
		if known, err := belief.Resolve(replay, belief.Observations{Seen: f.Seen}); err == nil {
			replay = known.Replay
		}
		if err := t.reportNews(replay.Presses, replay); err != nil {
			return err
		}
		t.segment, t.reported = f.Segment+1, eventCounts{}
	}
	if v.Replay == nil {
		return nil
	}
	return t.reportNews(v.Past, v.Replay)
}

// reportNews reports what is new of a flight; presses are those that are over.
func (t *historyTeller) reportNews(presses []sim.Press, r *sim.Replay) error {
	var news []happening
	var all eventCounts
	once := func(count *int, reported int, at sim.Micros, report func() error) {
		if *count++; *count > reported {
			news = append(news, happening{at, report})
		}
	}
	for _, p := range presses {
		once(&all.presses, t.reported.presses, overAt(p), func() error { return t.teller.press(t.segment, p, r) })
	}
	for _, f := range live.Unseen(r.Flicks) {
		once(&all.unseen, t.reported.unseen, flickOver(f), func() error { return t.teller.unseen(t.segment, f) })
	}
	for _, take := range r.Takes {
		once(&all.begins, t.reported.begins, take.Start, func() error { return t.teller.begins(take) })
		if take.Ended != sim.EndLog {
			once(&all.ends, t.reported.ends, take.End, func() error { return t.teller.ends(take) })
		}
	}
	for _, change := range r.States[min(1, len(r.States)):] {
		if change.State == sim.StateOff {
			once(&all.offs, t.reported.offs, change.At, func() error { return t.teller.off(change.At) })
		}
	}
	// A glance may undo an event, which is then not reported again.
	t.reported = eventCounts{
		max(all.presses, t.reported.presses), max(all.unseen, t.reported.unseen), max(all.begins, t.reported.begins),
		max(all.ends, t.reported.ends), max(all.offs, t.reported.offs),
	}
	slices.SortStableFunc(news, func(a, b happening) int { return cmp.Compare(a.at, b.at) })
	for _, n := range news {
		if err := n.report(); err != nil {
			return err
		}
	}
	return nil
}

// overAt returns when a press was over, or when it began if it is not over.
func overAt(p sim.Press) sim.Micros {
	if p.Open() {
		return p.Down
	}
	return p.Up
}

// flickOver returns when a flick was over, or when it began if it is not over.
func flickOver(f sim.Flick) sim.Micros {
	if f.Up == sim.Never {
		return f.Down
	}
	return f.Up
}

// plainTeller reports in sentences.
type plainTeller struct {
	say   func(at sim.Micros, sentence string) error
	whole bool   // the input is a complete file: report only its end
	last  string // what the latest tally was made from
}

// newPlainTeller returns a teller that writes lines of text, each with its time.
func newPlainTeller(out io.Writer, whole bool) *plainTeller {
	return &plainTeller{whole: whole, say: func(at sim.Micros, sentence string) error {
		_, err := fmt.Fprintf(out, "%s  %s\n", at.Clock(), sentence)
		return err
	}}
}

func (t *plainTeller) press(_ int, p sim.Press, r *sim.Replay) error {
	return t.say(overAt(p), liveview.PressText(r, p))
}

func (t *plainTeller) unseen(_ int, f sim.Flick) error {
	return t.say(flickOver(f), liveview.UnseenText(f))
}

func (t *plainTeller) begins(take sim.Take) error {
	return t.say(take.Start, fmt.Sprintf("take %d begins", take.N))
}

func (t *plainTeller) ends(take sim.Take) error {
	return t.say(take.End, fmt.Sprintf("take %d ends after %s", take.N, take.Length().Readable()))
}

func (t *plainTeller) off(at sim.Micros) error { return t.say(at, "the camera is off") }

// tally reports changes of the input, glances and doubts.
func (t *plainTeller) tally(v live.View, last bool) error {
	now := fmt.Sprint(v.Input, v.Segment, v.Seen, v.Doubts)
	if !last && (t.whole || now == t.last || v.Segment == 0) {
		return nil
	}
	t.last = now
	return t.say(v.At, liveview.Line(v))
}
