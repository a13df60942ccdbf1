package main

import (
	"fmt"
	"io"
	"os/exec"
	"time"

	"flicktally/sim"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
	"flicktally/trainer/liveview"
)

// What is heard of a live flight: sentences for a speech program, and the bell.

// The rings of the bell for a change.
const (
	ringBegins = 1
	ringEnds   = 2
	ringFailed = 3
)

// announcer tells a stream to the ears.
type announcer struct {
	plainTeller
	rings chan int // nil is no bell
}

func (t *announcer) press(segment int, p sim.Press, r *sim.Record) error {
	if liveview.Failed(r, p) {
		t.ring(ringFailed)
	}
	return t.plainTeller.press(segment, p, r)
}

func (t *announcer) unseen(segment int, f sim.Flick) error {
	t.ring(ringFailed)
	return t.plainTeller.unseen(segment, f)
}

func (t *announcer) begins(take sim.Take) error {
	t.ring(ringBegins)
	return t.plainTeller.begins(take)
}

func (t *announcer) ends(take sim.Take) error {
	t.ring(ringEnds)
	return t.plainTeller.ends(take)
}

// tally says that the input went away or came back, and what a look at the light
// changed.
func (t *announcer) tally(v live.View, last bool) error {
	if last {
		return nil
	}
	return t.plainTeller.tally(v, false)
}

// ring never waits: a change that comes while many wait is not rung.
func (t *announcer) ring(times int) {
	select {
	case t.rings <- times:
	default:
	}
}

// announce makes the flight heard where that is asked for. What it returns ends
// it, and waits for what is still to be heard.
func (a *app) announce(s *session.Session, f *liveFlags) (finish func(), err error) {
	if f.say == "" && !f.bell {
		return func() {}, nil
	}
	t := &announcer{plainTeller: plainTeller{whole: f.noFollow, say: func(sim.Micros, string) error { return nil }}}
	var speech *speaker
	if f.say != "" {
		if speech, err = a.startSpeaker(f.say, a.hasScreen(f)); err != nil {
			return nil, err
		}
		t.say = func(_ sim.Micros, sentence string) error { speech.say(sentence); return nil }
	}
	rung := make(chan struct{})
	if f.bell {
		t.rings = make(chan int, 8)
		go ringBell(a.talk.err, t.rings, rung)
	} else {
		close(rung)
	}
	stop, done := make(chan struct{}), make(chan struct{})
	go a.listen(s, t, stop, done)
	return func() {
		close(stop)
		<-done
		if t.rings != nil {
			close(t.rings)
		}
		<-rung
		if speech != nil {
			speech.finish(a.talk, speechEnds)
		}
	}, nil
}

// listen follows the stream until it is stopped.
func (a *app) listen(s *session.Session, t *announcer, stop <-chan struct{}, done chan<- struct{}) {
	defer close(done)
	tick := time.NewTicker(lookLive)
	defer tick.Stop()
	news := historyTeller{teller: t, segment: 1}
	for last := false; !last; {
		select {
		case <-tick.C:
		case <-stop:
			last = true
		}
		view := s.Look()
		_ = news.tell(s.Before(), view) // an announcer has no errors
		_ = t.tally(view, last)
	}
}

// The time between two rings of one change, and between two changes.
const (
	betweenRings   = 250 * time.Millisecond
	betweenChanges = 700 * time.Millisecond
)

// ringBell rings for each change as often as it says, until there are no more.
func ringBell(to io.Writer, rings <-chan int, done chan<- struct{}) {
	defer close(done)
	for times := range rings {
		for range times {
			fmt.Fprint(to, "\a")
			time.Sleep(betweenRings)
		}
		time.Sleep(betweenChanges - betweenRings)
	}
}

// speaker is a program that reads sentences, one per line.
type speaker struct {
	command   *exec.Cmd
	in        io.WriteCloser
	sentences chan string
	written   chan struct{}
	left      int // sentences that it did not read in time
}

// mostSentences is how many sentences wait for a program that lags. More of them
// would be of a flight long past.
const mostSentences = 16

func (a *app) startSpeaker(command string, screen bool) (*speaker, error) {
	p := &speaker{command: shell(command), sentences: make(chan string, mostSentences), written: make(chan struct{})}
	if !screen {
		p.command.Stderr = a.talk.err
	}
	p.command.WaitDelay = time.Second
	in, err := p.command.StdinPipe()
	if err == nil {
		err = p.command.Start()
	}
	if err != nil {
		return nil, fmt.Errorf("cannot start --say %q: %w", command, err)
	}
	p.in = in
	go p.write()
	return p, nil
}

// say passes on a sentence without waiting for whoever reads it.
func (p *speaker) say(sentence string) {
	select {
	case p.sentences <- sentence:
	default:
		p.left++
	}
}

func (p *speaker) write() {
	defer close(p.written)
	for sentence := range p.sentences {
		if _, err := fmt.Fprintln(p.in, sentence); err != nil {
			for range p.sentences { // it went; the flight goes on without it
			}
			return
		}
	}
}

// speechEnds is how long a speech program may go on after the flight.
const speechEnds = 10 * time.Second

// finish lets the program say the rest, but for no longer than so long.
func (p *speaker) finish(t *talk, patience time.Duration) {
	end := time.AfterFunc(patience, func() {
		_ = p.command.Process.Kill()
		_ = p.in.Close() // it may have left others that do not read either
	})
	defer end.Stop()
	close(p.sentences)
	<-p.written
	_ = p.in.Close()
	if err := p.command.Wait(); err != nil {
		t.note("the program of --say ended with: %v", err)
	}
	if p.left > 0 {
		t.note("sentences that the program of --say did not read in time: %d", p.left)
	}
}
