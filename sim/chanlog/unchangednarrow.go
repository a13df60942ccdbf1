package chanlog

import "encoding/binary"

// narrowRow finds unchanged rows if all columns are wanted. It compares the whole
// row as one text, by the two or three words that end with the row. If the row is
// shorter than the words, they start before it.
type narrowRow struct {
	size  int
	width int // of the words
	words [maxNarrow / word]wordText
	used  uint64 // the bytes of the first word that belong to the row
	// The parts that may differ; their places are in the words.
	time, value textRange
	valueVaries bool
}

// Sizes of rows that are compared as one text.
const (
	minNarrow = word // the words of a row start in the row before it at the earliest
	maxNarrow = 3 * word
)

// learnNarrow takes over the text of the row at the start of data, if its size is
// suitable.
func (s *unchangedRows) learnNarrow(data []byte, shape *rowShape) bool {
	if shape.size < minNarrow || shape.size > maxNarrow {
		return false
	}
	n := &s.narrow
	n.size, n.width = shape.size, 2*word
	if n.size > n.width {
		n.width = maxNarrow
	}
	before := n.width - n.size
	n.used = byteRange(before, word)
	n.time, n.value = s.time, s.value
	n.time.low++ // a row at the same time is not unchanged
	n.time.at += before
	n.value.at += before
	var text [maxNarrow]byte
	copy(text[before:], data[:n.size])
	n.valueVaries = n.value.low != n.value.high
	for i := range n.words {
		at := i * word
		mayDiffer := byteRange(n.time.at-at, n.time.at+n.time.size()-at)
		if n.valueVaries {
			mayDiffer |= byteRange(n.value.at-at, n.value.at+n.value.size()-at)
		}
		n.words[i] = newWordText(binary.LittleEndian.Uint64(text[at:]), mayDiffer)
	}
	return true
}

// countNarrow returns how many rows after the one at the start of data may be left
// out, their size, and how many more are unchanged.
func (s *unchangedRows) countNarrow(data []byte) (rows, size, kept int) {
	n := &s.narrow
	known := data[:cap(data)]
	// A window starts where the words of its first row do.
	for at := 2*n.size - n.width; len(known)-at >= len(window{}) && at+n.width <= len(data); {
		more := n.follow((*window)(known[at:]), min(len(data)-at, windowSize)-n.width)
		rows += more
		at += more * n.size
		if more == 0 {
			break
		}
	}
	kept = min(rows, keptRows)
	return rows - kept, (rows - kept) * n.size, kept
}

// follow returns how many successive rows of a text are unchanged. The words of
// a row start at the last offset at the latest.
func (n *narrowRow) follow(text *window, last int) (rows int) {
	const many = 16
	at := 0
	for at+(many-1)*n.size <= last && n.areUnchanged(text, at, many) {
		at += many * n.size
	}
	for at <= last && n.areUnchanged(text, at, 1) {
		at += n.size
	}
	return at / n.size
}

// areUnchanged reports whether some rows are unchanged; the words of the first
// start at an offset. If so, only later rows will be unchanged.
//
// Each check goes through all rows: it needs few registers and one branch.
func (n *narrowRow) areUnchanged(text *window, at, rows int) bool {
	end := at + rows*n.size
	if n.differ(text, at, end)&highBits != 0 || n.valueVaries && n.isOutside(text, at, end) {
		return false
	}
	latest, ok := n.increases(text, at, end)
	if ok = ok && latest <= n.time.high; ok {
		n.time.low = latest + 1
	}
	return ok
}

// differ returns a word with a high bit set if the words of any row differ from
// what they must be.
func (n *narrowRow) differ(text *window, at, end int) (wrong uint64) {
	first, second, third, used, size := n.words[0], n.words[1], n.words[2], n.used, n.size
	if n.width < maxNarrow {
		for ; at < end; at += size {
			row := text[at&(windowSize-1):][:2*word]
			wrong |= first.differs(wordOf(row, 0)&used) | second.differs(wordOf(row, 1))
		}
		return wrong
	}
	for ; at < end; at += size {
		row := text[at&(windowSize-1):][:maxNarrow]
		wrong |= first.differs(wordOf(row, 0)&used) | second.differs(wordOf(row, 1)) | third.differs(wordOf(row, 2))
	}
	return wrong
}

func wordOf(row []byte, i int) uint64 { return binary.LittleEndian.Uint64(row[i*word:]) }

// The text of a part has no high bit, as it is ASCII. So a difference has one
// exactly if it is negative.

// isOutside reports whether the value of any row is not alike.
func (n *narrowRow) isOutside(text *window, at, end int) bool {
	var outside uint64
	value, size := n.value, n.size
	at, end = at+value.at, end+value.at
	for i := at; i < end; i += size {
		v := text.part(i, value.mask)
		outside |= (v - value.low) | (value.high - v)
	}
	return outside>>63 != 0
}

// increases reports whether each row is later than the one before, and returns
// the time of the last.
func (n *narrowRow) increases(text *window, at, end int) (latest uint64, ok bool) {
	var outside uint64
	earliest, mask, size := n.time.low, n.time.mask, n.size
	at, end = at+n.time.at, end+n.time.at
	for i := at; i < end; i += size {
		now := text.part(i, mask)
		outside |= now - earliest
		earliest = now + 1
	}
	return earliest - 1, outside>>63 == 0
}
