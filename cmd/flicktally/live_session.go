package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"sync"
	"time"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/live"
	"flicktally/sim/source"
)

// liveSession is where those meet who read a stream and those who show its
// tally. A reader is never kept waiting by a slow terminal: what it brings is
// recorded and counted at once, and whoever shows the tally looks at it when
// there is time.
type liveSession struct {
	rig   sim.Rig
	clock func() sim.Micros
	done  chan struct{} // closed when the flight is finished: readers end
	ended chan struct{} // closed when the input has ended
	// broken tells what a reader panicked with.
	broken chan string

	// taking is held from the recording of a block until it is counted, so that
	// a finished flight holds what its record holds.
	taking   sync.Mutex
	finished bool
	file     *os.File // of the record; nil if there is none
	recorder *source.Recorder
	reading  source.Summary

	mu      sync.Mutex // guards what is below
	tally   *live.Tally
	notice  string
	unkept  error // why the record breaks off
	failure error // of the input
}

func newLiveSession(rig sim.Rig, record *os.File) *liveSession {
	start := time.Now()
	return &liveSession{
		rig:   rig,
		clock: func() sim.Micros { return sim.Micros(time.Since(start).Microseconds()) },
		done:  make(chan struct{}), ended: make(chan struct{}), broken: make(chan string, 1),
		file: record, tally: live.New(sim.TapChannel, rig),
	}
}

// work runs a reader. Its panic is raised where the tally is shown, since there
// the terminal is given back before it ends the program.
func (s *liveSession) work(read func()) {
	go func() {
		defer func() {
			if cause := recover(); cause != nil {
				s.broken <- fmt.Sprintf("%v\n\n%s", cause, debug.Stack())
			}
		}()
		read()
	}()
}

// watch raises the panic of a reader; it is a source of the screen.
func (s *liveSession) watch(_ func(any), done <-chan struct{}) {
	select {
	case cause := <-s.broken:
		panic(cause)
	case <-done:
	}
}

// begin says where the stream was recorded, and what its rig is by what it
// tells, before the first block.
func (s *liveSession) begin(tap sim.Tap, rig sim.Rig) {
	s.taking.Lock()
	defer s.taking.Unlock()
	if s.file != nil {
		s.recorder = source.NewRecorder(s.file, tap, rig)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.tally = live.New(tap, rig)
}

// take records and counts a block. It reports whether more is wanted.
func (s *liveSession) take(block source.Block, reading source.Summary) bool {
	s.taking.Lock()
	defer s.taking.Unlock()
	if s.finished {
		return false
	}
	unkept := s.record(block)
	s.reading = reading
	s.mu.Lock()
	defer s.mu.Unlock()
	if unkept != nil {
		s.unkept = fmt.Errorf("the record breaks off: %w", unkept)
	}
	s.tally.Feed(s.clock(), block.Segment, block.Samples)
	return true
}

// record writes a block. One that cannot be written whole is taken back: a row
// that breaks off may be read as another.
func (s *liveSession) record(block source.Block) error {
	if s.recorder == nil {
		return nil
	}
	end, err := s.file.Seek(0, io.SeekCurrent)
	if err == nil {
		err = s.recorder.Write(block)
	}
	if err != nil {
		s.recorder = nil // what follows a gap would be told as one flight
		err = errors.Join(err, s.file.Truncate(end))
	}
	return err
}

// end says that the input has ended; failure is nil where it should have.
func (s *liveSession) end(failure error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.failure = failure
	s.tally.End()
	close(s.ended)
}

// notify sets what the input has to say for itself; "" is nothing.
func (s *liveSession) notify(text string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.notice = text
}

// finish ends the flight and its record.
func (s *liveSession) finish() ([]live.Flight, source.Summary, error) {
	s.taking.Lock()
	defer s.taking.Unlock()
	s.finished = true
	close(s.done)
	s.mu.Lock()
	defer s.mu.Unlock()
	failure := s.failure
	if s.unkept != nil {
		failure = s.unkept
	}
	flights := s.tally.Finish()
	if s.file != nil {
		if err := s.file.Close(); err != nil && failure == nil {
			failure = fmt.Errorf("cannot write the record: %w", err)
		}
		if len(flights) == 0 {
			os.Remove(s.file.Name()) // an empty file is no record
		}
	}
	return flights, s.reading, failure
}

// Look returns the present moment. Only the copying keeps a reader waiting.
func (s *liveSession) Look() live.View {
	s.mu.Lock()
	look := s.tally.Look(s.clock())
	s.mu.Unlock()
	return look.View()
}

// before returns the flights that are over because another segment began.
func (s *liveSession) before() []live.Flight {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.tally.Before()
}

// See notes a look at the camera's light.
func (s *liveSession) See(light belief.Light) (belief.Glance, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.tally.See(s.clock(), light)
}

// Unsee takes the latest look at the light back.
func (s *liveSession) Unsee() (belief.Glance, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.tally.Unsee()
}

// Notice returns what is wrong with the record or the input, and else what the
// input has to say.
func (s *liveSession) Notice() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case s.unkept != nil:
		return s.unkept.Error()
	case s.failure != nil:
		return s.failure.Error()
	default:
		return s.notice
	}
}
