// Package bitmap marks where the fields and lines of a text end, with one bit
// per byte. To find a field or a line then takes a few operations on words of 64
// bits, however long the fields are.
//
//	var m bitmap.Map
//	size := m.Draw(text, ',')   // how much of the text it shows
//	ends := m.Ends(0)           // a line ends at bits.TrailingZeros64(ends)
//	m.Count(100) - m.Count(20)  // delimiters and line ends in between
//
// Drawing a map needs vector instructions: [Fast] says whether the machine has
// them.
package bitmap

import (
	"encoding/binary"
	"math/bits"
)

// span is how many bytes a word covers.
const span = 64

// words is the number of words in a map. The last one is empty, so that there is
// always a next one. It is a power of 2, so that no index needs a check.
const words = 128

// MaxSize is the most bytes of a text that a map covers.
const MaxSize = (words - 1) * span

// Count counts delimiters and ends. Counts can be added and subtracted.
type Count uint64

// Of returns the count of some delimiters and ends.
func Of(delims, ends int) Count { return Count(delims) + Count(ends)<<32 }

// Delims returns the number of delimiters.
func (c Count) Delims() int { return int(uint32(c)) }

// Map shows where the delimiters and the line ends of a text are. A quote counts
// as an end, so that nothing after it is misread.
type Map struct {
	delims, ends row
	before       [words]Count // in the bytes before those of a word
}

// row has a bit for each byte of a text, starting at the lowest bit of the first
// byte. It has room at the end, so that a word can be read at every byte.
type row [words*8 + 8]byte

func (r *row) word(i uint) uint64 { return binary.LittleEndian.Uint64(r[i*8%(words*8):]) }

// from returns the bits from an index on, at least Ahead of them.
func (r *row) from(at uint) uint64 { return binary.LittleEndian.Uint64(r[at/8%(words*8):]) >> (at % 8) }

// Ahead is the least number of bytes that [Map.Delims] and [Map.Ends] show.
const Ahead = 57

// Draw draws the map of a text, or of its start: of 64 bytes each, at most
// MaxSize. It returns how many bytes the map covers. The machine must be [Fast].
func (m *Map) Draw(text []byte, delim byte) (size int) {
	n := min(len(text)/span, words-1)
	draw(m, text[:n*span], delim)
	clear(m.delims[n*8:][:8])
	clear(m.ends[n*8:][:8])
	return n * span
}

// Delims returns a bit for each of at least Ahead bytes from an offset on, the
// first at the lowest bit: 1 if it is a delimiter. The map must cover the offset;
// beyond the map all bits are 0.
func (m *Map) Delims(at int) uint64 { return m.delims.from(uint(at)) }

// Ends returns the same for line ends.
func (m *Map) Ends(at int) uint64 { return m.ends.from(uint(at)) }

// Count counts delimiters and ends before an offset, which the map must cover.
func (m *Map) Count(at int) Count {
	i, below := uint(at)/span, uint64(1)<<(uint(at)%span)-1
	return m.before[i%words] + Of(bits.OnesCount64(m.delims.word(i)&below), bits.OnesCount64(m.ends.word(i)&below))
}

// CountDelims counts only the delimiters.
func (m *Map) CountDelims(at int) int {
	i, below := uint(at)/span, uint64(1)<<(uint(at)%span)-1
	return m.before[i%words].Delims() + bits.OnesCount64(m.delims.word(i)&below)
}
