package livelines

import (
	"context"
	"fmt"
	"io"
	"os/exec"
	"sync"
	"time"

	"flicktally/sim"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
	"flicktally/trainer/liveview"
)

// A tally by sound: sentences for a speech program, and the terminal's bell.

// How often the bell rings for each change.
const (
	ringBegins = 1
	ringEnds   = 2
	ringFailed = 3
)

// announcer reports a stream by sound.
type announcer struct {
	plainTeller
	rings chan int // nil without a bell
}

func (t *announcer) press(segment int, p sim.Press, r *sim.Replay) error {
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

// tally reports changes of the input, and what a glance changed.
func (t *announcer) tally(v live.View, last bool) error {
	if last {
		return nil
	}
	return t.plainTeller.tally(v, false)
}

// ring rings in the background. It drops a change if many are waiting.
func (t *announcer) ring(times int) {
	select {
	case t.rings <- times:
	default:
	}
}

// Aloud says how a tally is reported by sound.
type Aloud struct {
	Say    string // a command of the shell that reads sentences; "" = none
	Bell   bool   // ring the terminal's bell
	Whole  bool   // the input is a complete file
	Screen bool   // the terminal shows a screen: discard the output of the command
	Err    io.Writer
	Note   func(format string, args ...any)
}

// Start starts the reports. The returned function stops them, after those that are
// waiting.
func (o Aloud) Start(s *session.Session) (finish func(), err error) {
	if o.Say == "" && !o.Bell {
		return func() {}, nil
	}
	t := &announcer{plainTeller: plainTeller{whole: o.Whole, say: func(sim.Micros, string) error { return nil }}}
	var speech *speaker
	if o.Say != "" {
		if speech, err = o.startSpeaker(); err != nil {
			return nil, err
		}
		t.say = func(_ sim.Micros, sentence string) error { speech.say(sentence); return nil }
	}
	var bell, listening sync.WaitGroup
	if o.Bell {
		t.rings = make(chan int, 8)
		bell.Go(func() { ringBell(o.Err, t.rings) })
	}
	ctx, stop := context.WithCancel(context.Background())
	listening.Go(func() { listen(ctx, s, t) })
	return func() {
		stop()
		listening.Wait()
		if t.rings != nil {
			close(t.rings)
		}
		bell.Wait()
		if speech != nil {
			speech.finish(o.Note, speechEnds)
		}
	}, nil
}

// listen follows the stream until it is stopped.
func listen(ctx context.Context, s *session.Session, t *announcer) {
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	news := historyTeller{teller: t, segment: 1}
	for last := false; !last; {
		select {
		case <-tick.C:
		case <-ctx.Done():
			last = true
		}
		view := s.Look()
		_ = news.report(s.Before(), view) // an announcer has no errors
		_ = t.tally(view, last)
	}
}

// The time between two rings for one change, and from one change to the next.
const (
	betweenRings   = 250 * time.Millisecond
	betweenChanges = 700 * time.Millisecond
)

// ringBell rings for each change, until rings is closed.
func ringBell(to io.Writer, rings <-chan int) {
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
	written   sync.WaitGroup
	left      int // sentences dropped, as it did not read them in time
}

// mostSentences is how many sentences wait for a slow program. More would be out of
// date.
const mostSentences = 16

func (o Aloud) startSpeaker() (*speaker, error) {
	p := &speaker{command: shell(o.Say), sentences: make(chan string, mostSentences)}
	if !o.Screen {
		p.command.Stderr = o.Err
	}
	p.command.WaitDelay = time.Second
	in, err := p.command.StdinPipe()
	if err == nil {
		err = p.command.Start()
	}
	if err != nil {
		return nil, fmt.Errorf("cannot start --say %q: %w", o.Say, err)
	}
	p.in = in
	p.written.Go(p.write)
	return p, nil
}

// say passes on a sentence without waiting for the program to read it.
func (p *speaker) say(sentence string) {
	select {
	case p.sentences <- sentence:
	default:
		p.left++
	}
}

func (p *speaker) write() {
	for sentence := range p.sentences {
		if _, err := fmt.Fprintln(p.in, sentence); err != nil {
			for range p.sentences { // the program has ended; the flight continues
			}
			return
		}
	}
}

// speechEnds is how long a speech program may speak after the flight.
const speechEnds = 10 * time.Second

// finish waits until the program has read and said the rest, or kills it.
func (p *speaker) finish(note func(format string, args ...any), patience time.Duration) {
	end := time.AfterFunc(patience, func() {
		_ = p.command.Process.Kill()
		_ = p.in.Close() // its child processes may block as well
	})
	defer end.Stop()
	close(p.sentences)
	p.written.Wait()
	_ = p.in.Close()
	if err := p.command.Wait(); err != nil {
		note("the program of --say ended with: %v", err)
	}
	if p.left > 0 {
		note("sentences that the program of --say did not read in time: %d", p.left)
	}
}
