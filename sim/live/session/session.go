package session

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/live"
)

// Session connects the reader of an input with the displays of its tally.
type Session struct {
	rig    sim.Rig
	clock  func() sim.Micros
	ctx    context.Context // done when the flight is finished, which ends the readers
	cancel context.CancelFunc
	ended  chan struct{} // closed when the input has ended
	broken chan string   // the text of a reader's panic

	// taking is held while a block is recorded and counted, so that a finished
	// flight agrees with its record. It guards the four fields below.
	taking   sync.Mutex
	finished bool
	record   *Record // nil if there is none
	reading  sim.Reading

	mu      sync.Mutex // guards all below
	tally   *live.Tally
	whole   bool       // the input is a complete file: it is read at any speed
	arrived sim.Micros // when the latest block arrived
	status  status
	unkept  error // why the record breaks off
	failure error // of the input
}

// New returns a session for a valid rig. clock is a wall clock with any origin. The
// session closes the record; nil means no record.
func New(rig sim.Rig, clock func() sim.Micros, record *Record) *Session {
	ctx, cancel := context.WithCancel(context.Background())
	return &Session{
		rig: rig, clock: clock, ctx: ctx, cancel: cancel,
		ended: make(chan struct{}), broken: make(chan string, 1),
		record: record, tally: live.New(sim.TapChannel, rig),
	}
}

// Read starts to read an input.
func (s *Session) Read(in Input) { s.work(func() { in.read(s) }) }

// work runs a reader in a goroutine. Its panic is raised again in the display,
// which restores the terminal before the program ends.
func (s *Session) work(read func()) {
	go func() {
		defer func() {
			if cause := recover(); cause != nil {
				s.broken <- fmt.Sprintf("%v\n\n%s", cause, debug.Stack())
			}
		}()
		read()
	}()
}

// Broken delivers the text of a reader's panic, with which the display panics.
func (s *Session) Broken() <-chan string { return s.broken }

// Watch raises the panic of a reader, until the context is done. It is an event
// source for a screen.
func (s *Session) Watch(ctx context.Context, _ func(any)) {
	select {
	case cause := <-s.broken:
		panic(cause)
	case <-ctx.Done():
	}
}

// Ended is closed when the input has ended.
func (s *Session) Ended() <-chan struct{} { return s.ended }

// begin sets, before the first block, where the stream was recorded, and the rig
// that the stream has completed; lost is as in [source.NewRecorder].
func (s *Session) begin(tap sim.Tap, rig sim.Rig, lost sim.Micros) {
	s.taking.Lock()
	defer s.taking.Unlock()
	if s.record != nil {
		s.record.begin(tap, rig, lost)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.tally = live.New(tap, rig)
}

// take records and counts a block that arrived at a time of the clock.
func (s *Session) take(arrived sim.Micros, block sim.Block, reading sim.Reading) {
	s.taking.Lock()
	defer s.taking.Unlock()
	if s.finished {
		return
	}
	if s.record != nil {
		s.keep(s.record.write(block))
	}
	s.reading = reading
	s.mu.Lock()
	defer s.mu.Unlock()
	s.arrived = arrived
	s.tally.Feed(arrived, block.Segment, block.Samples)
}

// remark notes in the record what was left out.
func (s *Session) remark(what leftOut) {
	s.taking.Lock()
	defer s.taking.Unlock()
	if s.record != nil && !s.finished {
		s.record.leaveOut(what)
	}
}

// noteClock announces a jump of the source's clock and notes it in the record.
func (s *Session) noteClock(text string) {
	s.announce(text)
	s.taking.Lock()
	defer s.taking.Unlock()
	if s.record != nil && !s.finished {
		s.keep(s.record.remark(text))
	}
}

// keep stores an error of writing the record.
func (s *Session) keep(unkept error) {
	if unkept == nil {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.unkept = fmt.Errorf("the record breaks off: %w", unkept)
}

// end records the end of the input; failure is nil for a normal end.
func (s *Session) end(failure error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.failure = failure
	s.tally.End()
	close(s.ended)
}

// Result is the result of a session.
type Result struct {
	Flights []live.Flight
	Reading sim.Reading // how the input was read
	Input   error       // why the input broke off
	Record  error       // why the record breaks off
	// Recorded says that there is a record with all of the flights.
	Recorded bool
	// Trouble is what is wrong with the link at the end; LeftOut counts what
	// was left out. Both may be "".
	Trouble, LeftOut string
}

// Notes returns sentences about what was left out, and about the state of the
// input at the end.
func (r Result) Notes() []string {
	var notes []string
	for _, f := range r.Flights {
		for _, g := range f.Late {
			notes = append(notes, "the look at the light at "+g.At.Clock()+" was after the last sample; the report leaves it out")
		}
	}
	if r.LeftOut != "" {
		notes = append(notes, r.LeftOut)
	}
	if r.Trouble != "" {
		notes = append(notes, "at the end: "+r.Trouble)
	}
	if len(r.Flights) == 0 {
		notes = append(notes, "no sample was received")
	}
	return notes
}

// Finish ends the flight and closes its record. A record without rows is removed.
func (s *Session) Finish() Result {
	s.taking.Lock()
	defer s.taking.Unlock()
	s.finished = true
	s.cancel()
	s.mu.Lock()
	defer s.mu.Unlock()
	result := Result{
		Flights: s.tally.Finish(), Reading: s.reading, Input: s.failure, Record: s.unkept,
		Trouble: s.status.trouble, LeftOut: s.status.counts.text(),
	}
	if s.record != nil {
		if err := s.record.close(len(result.Flights) > 0); err != nil && result.Record == nil {
			result.Record = fmt.Errorf("cannot write the record: %w", err)
		}
		result.Recorded = result.Record == nil && len(result.Flights) > 0
	}
	return result
}

// readsWhole says that the input is a complete file, so that the speed of reading
// means nothing.
func (s *Session) readsWhole() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.whole = true
}

// present returns the current time of the tally.
func (s *Session) present() sim.Micros {
	if s.whole {
		return s.arrived
	}
	return s.clock()
}

// Look returns the current view. It blocks a reader only while it copies data.
func (s *Session) Look() live.View {
	s.mu.Lock()
	look := s.tally.Look(s.present())
	s.mu.Unlock()
	return look.View()
}

// Before returns the flights that ended because another started.
func (s *Session) Before() []live.Flight {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.tally.Before()
}

// See adds a glance at the camera's light, as [live.Tally.See] does.
func (s *Session) See(light belief.Light) (belief.Glance, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.tally.See(s.present(), light)
}

// Unsee removes the latest glance, as [live.Tally.Unsee] does.
func (s *Session) Unsee() (belief.Glance, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.tally.Unsee()
}
