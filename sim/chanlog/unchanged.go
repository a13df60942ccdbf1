package chanlog

import (
	"encoding/binary"
	"math/bits"

	"flicktally/sim"
	"flicktally/sim/chanlog/bitmap"
)

// unchangedRows finds rows in which only the time changes, so that they may be
// left out ([sim.Thinning]). It compares each row with the last row that was
// read: the armed channel must have the same text, the channel a value that
// counts as alike, and the time must be a little later. It compares eight bytes
// at once and decodes none, since digits in the same places sort as their
// numbers do.
type unchangedRows struct {
	thin  sim.Thinning
	time  textRange
	value textRange // of the rows that were read, while they were alike
	alike sim.PulseRange
	marks uint64 // what the value has between its digits

	narrow narrowRow
	// For wide rows: the wanted fields, an offset shortly before the end of a row,
	// and where the fields end.
	wide    []unchangedField
	nearEnd int
	bits    bitmap.Map
	text    *window // shown by the map
	// kept is how many of the next rows are not left out: they are the last of a
	// run, or the search is paused.
	kept   int
	misses int // successive searches that found no unchanged row
}

// A search that finds nothing costs more than it takes to read the row. After
// maxMisses of them, as in a log with a noisy channel, pausedRows rows are read
// without a search.
const (
	maxMisses  = 8
	pausedRows = 31
)

// keptRows is how many unchanged rows, the last ones of a run, are not left out.
const keptRows = 2

// word is how many bytes are compared at once.
const word = 8

// windowSize is how much of a text is examined without bounds checks.
const windowSize = 1 << 13

var _ [windowSize - bitmap.MaxSize]struct{} // a window shows at least as much as a map

// window is a part of a text with room after it, so that a word can be read at
// every byte. Masking an offset with windowSize-1 shows the compiler that it is
// in range.
type window [windowSize + maxUnchangedField + word]byte

// part returns a part of the text as a [textRange] has it.
func (w *window) part(at int, mask uint64) uint64 {
	return binary.BigEndian.Uint64(w[at&(windowSize-1):]) & mask
}

// maxPart is the greatest length of a part that may differ: a word has room for
// it and for the byte after it.
const maxPart = word - 1

// textRange is a part of a row, of at most maxPart bytes, whose text may be
// anything from low to high.
type textRange struct {
	at        int
	mask      uint64 // of its bytes, the first in the high byte
	low, high uint64
}

func newTextRange(data []byte, at, size int) textRange {
	r := textRange{at: at, mask: ^uint64(0) << (8 * uint(word-size))}
	r.low = binary.BigEndian.Uint64(data[at:]) & r.mask
	r.high = r.low
	return r
}

// from returns the same part within the word that starts at an offset. The word
// must contain all of it.
func (r textRange) from(at int) textRange {
	shift := 8 * uint(r.at-at)
	return textRange{at, r.mask >> shift, r.low >> shift, r.high >> shift}
}

// size returns the number of bytes of the part.
func (r *textRange) size() int { return bits.OnesCount64(r.mask) / 8 }

// wordText is the text that eight bytes must have, the first in the low byte.
type wordText struct {
	text uint64 // "0" in place of a digit that may differ
	// slack is added to the difference of each byte from text. A difference that
	// is too large carries into the high bit.
	slack uint64
}

// newWordText returns the text that a word must have. Digits among the bytes that
// may differ are free.
func newWordText(text, mayDiffer uint64) wordText {
	free := mayDiffer & digitBytes(text)
	return wordText{text&^free | eachByte*'0'&free, lowBits - eachByte*9&free}
}

// differs returns a word with a high bit set if a word does not have the text. A
// byte that carries into the next one is wrong itself.
func (w *wordText) differs(word uint64) uint64 {
	d := word ^ w.text
	return (d + w.slack) | d
}

// after returns the number and the size of the rows that may be left out after
// the one at the start of data. The scanner has just read that row; v is its
// value.
func (s *unchangedRows) after(data []byte, scanner *rowScanner, v sim.PulseWidth) (rows, size int) {
	if s.kept > 0 {
		s.kept--
		return 0, 0
	}
	shape := &scanner.shape
	if shape.size+word > len(data) || !s.learnTime(data, shape) || !s.learnValue(data, shape, v) {
		return 0, 0
	}
	if scanner.dense && s.learnNarrow(data, shape) {
		rows, size, s.kept = s.countNarrow(data)
	} else if bitmap.Fast && s.learnWide(data, scanner.wanted, shape) {
		rows, size, s.kept = s.countWide(data, scanner)
	}
	if rows+s.kept > 0 {
		s.misses = 0
	} else if s.misses++; s.misses > maxMisses {
		s.kept = pausedRows
	}
	return rows, size
}

// learnTime sets which digits of the time may differ, and by how much: by what
// the thinning allows, and while no digit before them changes.
func (s *unchangedRows) learnTime(data []byte, shape *rowShape) bool {
	time := shape.field(roleTime)
	last := shape.parts.form.lastDigit(time.decimals)
	if time.negative || last == 0 {
		return false
	}
	within := uint64(min(s.thin.Within, sim.AheadBy)) / last
	digits := 0
	for digits < min(time.digits, maxPart-1) && powers[digits] <= within {
		digits++
	}
	if digits == 0 {
		return false
	}
	size := digits
	if time.decimals > 0 && digits > time.decimals {
		size++ // the decimal point
	}
	s.time = newTextRange(data, time.end-size, size)
	s.time.high = plusText(s.time.low, within, s.time.mask)
	return true
}

// lastDigit returns what the last digit of a number with some decimals counts in
// µs; 0 if that is less than 1, or too much.
func (f timeForm) lastDigit(decimals int) uint64 {
	t := f.tick
	if f.kind == timeClock {
		t = ticks[sim.UnitSeconds]
	}
	t.exponent -= decimals
	return t.micros()
}

// plusText adds a number to the digits of a text that fills the mask. It skips
// other characters. A sum that does not fit becomes the greatest text of ASCII.
func plusText(text, n, mask uint64) uint64 {
	for shift := bits.TrailingZeros64(mask); shift < 64 && n > 0; shift += 8 {
		if digit := text>>shift&0xff - '0'; digit <= 9 {
			sum := digit + n%10
			text += (sum%10 - digit) << shift
			n = n/10 + sum/10
		}
	}
	if n > 0 {
		return mask & lowBits
	}
	return text
}

// learnValue adds a value to the range of those that are alike. If it is not one
// of them, it starts a new range.
func (s *unchangedRows) learnValue(data []byte, shape *rowShape, v sim.PulseWidth) bool {
	field, alike := shape.field(roleChannel), s.thin.Alike(v)
	if field.text {
		s.value, s.alike = textRange{}, sim.PulseRange{}
		return alike.Contains(v)
	}
	if field.end-field.at > maxPart || !alike.Contains(v) {
		return false
	}
	value := newTextRange(data, field.at, field.end-field.at)
	marks := value.low &^ digitBytes(value.low)
	if alike == s.alike && marks == s.marks && value.mask == s.value.mask {
		value.low, value.high = min(value.low, s.value.low), max(value.high, s.value.high)
	}
	s.value, s.alike, s.marks = value, alike, marks
	return true
}

// digitBytes returns all bits of each byte that is a digit.
func digitBytes(text uint64) uint64 {
	others := above9(text ^ eachByte*'0')
	return ^(others >> 7 * 0xff)
}

// byteRange returns all bits of the bytes [from, to) of a word, the first byte
// low. It ignores bytes that the word does not have.
func byteRange(from, to int) uint64 {
	below := func(n int) uint64 { return ^(^uint64(0) << (8 * uint(min(max(n, 0), word)))) }
	return below(to) &^ below(from)
}
