package chanlog

import (
	"encoding/binary"

	"flicktally/sim/chanlog/bitmap"
)

// windowSize is how much of a text is examined without checking each offset.
const windowSize = 1 << 13

// window is a part of a text with room after it, so that a word can be read at
// every byte. Masking an offset with windowSize-1 tells the compiler that it is
// in range.
type window [windowSize + maxUnchangedField + word]byte

// part returns a part of the text as a [textRange] has it.
func (w *window) part(at int, mask uint64) uint64 {
	return binary.BigEndian.Uint64(w[at&(windowSize-1):]) & mask
}

var _ [windowSize - bitmap.MaxSize]struct{} // a window shows at least what a map does
