package chanlog

import "encoding/binary"

// narrowRow tells still rows as one text, where all columns are wanted.
type narrowRow struct {
	size int
	// The words together cover a row; the last of them ends with it.
	words        [3]wordText
	middle, last int // offsets of the second and the third
}

// Sizes of rows that are told as one text.
const (
	minNarrow = word
	maxNarrow = 3 * word
)

// rowBytes is a row and what follows it, so that a word can be read at every
// offset of it.
type rowBytes [maxOffset + 1 + word]byte

// maxOffset is at least maxNarrow. As a mask it tells the compiler that no
// offset is greater.
const maxOffset = 1<<5 - 1

func (r *rowBytes) word(at int) uint64 { return binary.LittleEndian.Uint64(r[at&maxOffset:]) }

func (r *rowBytes) text(t *textRange) uint64 {
	return binary.BigEndian.Uint64(r[t.at&maxOffset:]) & t.mask
}

// learnNarrow takes the text of the row at the beginning of data, if it is short
// enough.
func (s *stillRows) learnNarrow(data []byte, shape *rowShape) bool {
	if shape.size < minNarrow || shape.size > maxNarrow || len(data) < len(rowBytes{}) {
		return false
	}
	row, n := (*rowBytes)(data), &s.narrow
	n.size, n.last = shape.size, shape.size-word
	n.middle = min(word, n.last)
	for i, at := range []int{0, n.middle, n.last} {
		may := byteRange(s.time.at-at, s.time.at+s.time.size()-at) | byteRange(s.value.at-at, s.value.at+s.value.size()-at)
		n.words[i] = newWordText(row.word(at), may)
	}
	return true
}

// count returns how many rows behind the one at the beginning of data may be
// left out, their size, and how many more are still.
func (n *narrowRow) count(data []byte, time, value *textRange) (rows, size, kept int) {
	earliest := time.low
	for data = data[n.size:]; len(data) >= len(rowBytes{}); data = data[n.size:] {
		row := (*rowBytes)(data)
		wrong := n.words[0].differs(row.word(0)) | n.words[1].differs(row.word(n.middle)) | n.words[2].differs(row.word(n.last))
		now := row.text(time)
		if wrong&highBits != 0 || now < earliest || now > time.high || row.text(value)-value.low > value.high-value.low {
			break
		}
		earliest = now + 1
		rows++
	}
	kept = min(rows, keptRows)
	return rows - kept, (rows - kept) * n.size, kept
}

// keptRows are not left out, the last of those that are still.
const keptRows = 2
