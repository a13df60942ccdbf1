package term

import (
	"sync"

	"github.com/gdamore/tcell/v2"

	"flicktally/sim"
)

// stampingTty records when each key's byte was read. The library's key events have
// the time of decoding, which is later when the machine is busy.
type stampingTty struct {
	tcell.Tty
	clock  clock
	stamps *stamps
	keys   keyReader
	unread []byte
}

func newStampingTty(tty tcell.Tty, clock clock, stamps *stamps) *stampingTty {
	t := &stampingTty{Tty: tty, clock: clock, stamps: stamps}
	t.keys.answer, t.keys.paired = stamps.answer, stamps.takeBack
	return t
}

func (t *stampingTty) Read(into []byte) (int, error) {
	var err error
	if len(t.unread) == 0 {
		var n int
		n, err = t.Tty.Read(into)
		at := t.clock()
		t.keys.stamp = func(key byte, kind KeyKind) { t.stamps.note(at, key, kind) }
		t.unread = t.keys.read(at, into[:n])
	}
	n := copy(into, t.unread)
	t.unread = t.unread[n:]
	return n, err
}

// staleStamp is the age beyond which a recorded byte can no longer become a key
// event.
const staleStamp = sim.Second

// stamps has the bytes that may still become key events, and the terminal's answers
// about its keyboard. The goroutines that read and decode share it.
type stamps struct {
	mu      sync.Mutex
	queue   []stamp
	asked   bool
	paired  bool      // there are no real releases, whatever the answer
	answers chan bool // whether releases are reported
}

type stamp struct {
	at   sim.Micros
	key  byte
	kind KeyKind
}

func newStamps() *stamps { return &stamps{answers: make(chan bool, 1)} }

// ask makes the next answer count.
func (s *stamps) ask() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.asked = true
	select {
	case <-s.answers:
	default:
	}
}

// answer records the terminal's first answer to a question, and ignores others.
func (s *stamps) answer(releases bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.asked {
		s.asked = false
		s.answers <- releases && !s.paired
	}
}

// takeBack records that there are no real releases, whatever was answered.
func (s *stamps) takeBack() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.asked, s.paired = false, true
	select {
	case <-s.answers:
	default:
	}
	s.answers <- false
}

// note records a key of one byte; other keys are not timed.
func (s *stamps) note(at sim.Micros, key byte, kind KeyKind) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.queue = append(s.queue, stamp{at, key, kind})
}

// take returns when a decoded key was read and what happened to it; for a key that
// was not a single byte, a press at the time of decoding. It discards earlier
// bytes, as keys are decoded in the order of reading.
func (s *stamps) take(key byte, decoded sim.Micros) (at sim.Micros, kind KeyKind) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for len(s.queue) > 0 && s.queue[0].at < decoded-staleStamp {
		s.queue = s.queue[1:]
	}
	for i, st := range s.queue {
		if st.key == key && st.at <= decoded {
			s.queue = s.queue[i+1:]
			return st.at, st.kind
		}
	}
	return decoded, KeyPressed
}

// keyByte returns the byte of a key; 0 if a key arrives as several.
func keyByte(e *tcell.EventKey) byte {
	switch {
	case e.Key() == tcell.KeyRune && e.Rune() < 0x80:
		return byte(e.Rune())
	case e.Key() == tcell.KeyEnter:
		return '\r'
	case e.Key() == tcell.KeyTab:
		return '\t'
	default:
		return 0
	}
}
