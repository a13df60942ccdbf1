package term

import (
	"sync"

	"github.com/gdamore/tcell/v2"

	"flicktally/sim"
)

// stampingTty notes when each key's byte was read, before anything is made of
// it: the time that a key event carries by itself is that of its decoding,
// which comes later when the machine is busy.
type stampingTty struct {
	tcell.Tty
	clock  Clock
	stamps *stamps
}

func (t stampingTty) Read(into []byte) (int, error) {
	n, err := t.Tty.Read(into)
	if n > 0 {
		t.stamps.note(t.clock(), into[:n])
	}
	return n, err
}

// staleStamp is the age beyond which a noted byte has become part of something
// else than a key event.
const staleStamp = sim.Second

// stamps holds the bytes that were read and may yet become key events. It is
// used by the reading side and the decoding side at once.
type stamps struct {
	mu    sync.Mutex
	queue []stamp
}

type stamp struct {
	at  sim.Micros
	key byte
}

// note takes a chunk as it was read. Only keys of one byte are timed: what
// follows an escape is a sequence.
func (s *stamps) note(at sim.Micros, chunk []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, key := range chunk {
		if key == 0x1b {
			return
		}
		if key < 0x80 {
			s.queue = append(s.queue, stamp{at, key})
		}
	}
}

// take returns when the key that was decoded at a time was read, or that time
// where the key was no single byte. Keys are decoded in the order of reading,
// so bytes before it are done with.
func (s *stamps) take(key byte, decoded sim.Micros) sim.Micros {
	s.mu.Lock()
	defer s.mu.Unlock()
	for len(s.queue) > 0 && s.queue[0].at < decoded-staleStamp {
		s.queue = s.queue[1:]
	}
	for i, st := range s.queue {
		if st.key == key && st.at <= decoded {
			s.queue = s.queue[i+1:]
			return st.at
		}
	}
	return decoded
}

// keyByte returns the byte that a key arrives as, 0 where it is no single one.
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
