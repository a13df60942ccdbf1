package mavlink

import "math"

// Heard counts what a piece of a stream holds.
type Heard struct {
	Frames int // with the right check sum
	// Carriers counts the frames that tell of the line, by their system. Those of
	// a ground station without a value are left out.
	Carriers map[uint8]int
}

// Listen counts the frames of a piece of a stream, which may begin and end
// anywhere.
func Listen(piece []byte, line Line) Heard {
	h := Heard{Carriers: map[uint8]int{}}
	for len(piece) > 0 {
		f, what := parse(piece, true)
		if what == damaged {
			piece = piece[1:]
			continue
		}
		if what == valid {
			h.Frames++
			h.count(f, line)
		}
		piece = piece[f.length:]
	}
	return h
}

func (h *Heard) count(f frame, line Line) {
	p := fullPayload(f)
	v, ok := p.value(f.message, line)
	if ok && f.understood && (f.system != groundSystem || !math.IsNaN(float64(v))) {
		h.Carriers[f.system]++
	}
}
