package chanlog

import (
	"encoding/binary"

	"flicktally/sim/chanlog/bitmap"
)

// windowSize is how much of a text is looked at without a check of each offset.
const windowSize = 1 << 13

// window is so much of a text, and room behind it, so that a word can be read
// from every byte on. As a mask of an offset windowSize-1 tells the compiler that
// it is within.
type window [windowSize + maxStillField + word]byte

// part returns a part of the text as a [textRange] has it.
func (w *window) part(at int, mask uint64) uint64 {
	return binary.BigEndian.Uint64(w[at&(windowSize-1):]) & mask
}

var _ [windowSize - bitmap.MaxSize]struct{} // a window shows at least what a map does
