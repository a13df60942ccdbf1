package chanlog

import (
	"bytes"
	"fmt"
	"io"
	"slices"

	"flicktally/sim/problem"
)

// Limits of the search for the header: in bytes, and in rows of numbers whose
// columns are unknown.
const (
	maxPreamble    = maxLine
	maxUnknownRows = 16
)

// search finds the first row, and with it the delimiter, the header and the
// columns. It reads record by record and decides as soon as it can:
//
//   - A record with all the wanted names is the header.
//   - A record of numbers is the first row, unless the next record is such a
//     header. The record before the first row is the header if it has as many
//     fields and no number in the time column.
//
// Everything else is preamble. Undecided records stay in the window of the
// source.
type search struct {
	opts  Options
	src   *source
	sum   *Summary
	split splitter

	pending []pendingRecord
	ahead   int // bytes of the window covered by pending

	unknownRows int // rows of numbers whose columns are unknown
	// failure says why there is no header, by the most informative record so
	// far: the first with a wanted name (named is then set), or the one before
	// the first row.
	failure error
	named   bool
	first   *SyntaxError // the first line that is not blank

	found *resolved // the result
}

// pendingRecord is a record that may be the header, the first row, or preamble.
// Successive blank lines are one record.
type pendingRecord struct {
	size  int
	lines int64
	blank bool
	row   *reading // its reading as a row of numbers; nil if it has none
}

// run searches the window until it has found the header or the first row, or
// needs more data.
func (s *search) run() error {
	for s.found == nil {
		data := s.src.window()[s.ahead:]
		if len(data) == 0 {
			if s.src.ended() {
				return s.conclude()
			}
			return nil
		}
		more, err := s.look(data)
		if more || err != nil {
			return err
		}
	}
	return nil
}

// look examines the record at the start of data; more says that it is incomplete.
func (s *search) look(data []byte) (more bool, err error) {
	line := data[:firstLine(data)]
	if !s.src.ended() && line[len(line)-1] != '\n' && len(line) <= maxLine {
		return true, nil
	}
	if err := s.checkText(line); err != nil {
		return false, err
	}
	if isBlank(line) {
		s.push(pendingRecord{size: len(line), lines: 1, blank: true})
		return false, nil
	}
	if s.first == nil {
		s.first = s.src.errorAt(s.ahead, "", "")
	}
	readings, more := s.read(data)
	// A line that reads as a header is one, whatever follows it.
	if err := s.takeHeader(readings, true); s.found != nil || err != nil {
		return false, err
	}
	if more {
		return true, nil
	}
	if err := s.takeHeader(readings, false); s.found != nil || err != nil {
		return false, err
	}
	if err := s.settle(); s.found != nil || err != nil {
		return false, err
	}
	s.push(s.opts.pendingRecord(len(line), readings))
	return false, nil
}

// checkText refuses binary data, lines that are too long, and a preamble that is
// too long.
func (s *search) checkText(line []byte) error {
	switch {
	case bytes.IndexByte(line, 0) >= 0:
		return s.binary(s.ahead + bytes.IndexByte(line, 0))
	case len(line) > maxLine:
		return s.src.errorAt(s.ahead, "a line of more than 1 MiB", "a header and rows of numbers")
	case s.src.offset+int64(s.ahead) > maxPreamble && s.failure != nil:
		return s.failure
	case s.src.offset+int64(s.ahead) > maxPreamble:
		return s.at("1 MiB without a header", "a header and rows of numbers")
	}
	return nil
}

// at returns the error of the whole log, at its first line that is not blank.
func (s *search) at(found, want string) *SyntaxError {
	e := s.first
	if e == nil {
		e = s.src.errorAt(0, "", "")
	}
	e.Found, e.Want = found, want
	return e
}

func (s *search) binary(at int) error {
	e := s.src.errorAt(at, "a byte 0, as in a recording in a binary format", "a log in text")
	e.Text = "" // it would show nothing
	return problem.Hinted(e, convertIt)
}

// takeHeader takes a reading with the wanted names as the header. It looks at
// those on one line, or at those over several.
func (s *search) takeHeader(readings []reading, oneLine bool) error {
	for _, rd := range readings {
		if oneLine != (rd.lines == 1) {
			continue
		}
		if len(rd.fields) >= maxColumns {
			return s.src.errorAt(s.ahead, fmt.Sprintf("%d columns or more", maxColumns), "fewer")
		}
		out, miss := rd.resolve(s.opts, true)
		switch {
		case miss != nil && miss.missing || !out.byName() || out.timeHow == howReading && rd.numbers > 0:
			s.noteMiss(rd, miss)
		case miss != nil:
			return s.misfitError(miss, s.ahead)
		default:
			s.drop(len(s.pending))
			s.pending = append(s.pending, pendingRecord{size: rd.size, lines: rd.lines})
			s.decide(out, rd, true)
			return nil
		}
	}
	return nil
}

// noteMiss records what a record with some of the wanted names lacks.
func (s *search) noteMiss(rd reading, miss *misfit) {
	if miss != nil && !s.named && len(rd.fields) > 1 && slices.ContainsFunc(rd.fields, s.opts.wants) {
		s.failure, s.named = s.misfitError(miss, s.ahead), true
	}
}

func (s *search) misfitError(miss *misfit, at int) error { return miss.at(s.src.errorAt(at, "", "")) }

// settle takes the pending row as the first row, if there is one: with the record
// before it as the header, or without a header.
func (s *search) settle() error {
	first := slices.IndexFunc(s.pending, func(p pendingRecord) bool { return p.row != nil })
	if first < 0 {
		return nil
	}
	row := *s.pending[first].row
	begin, at := first, s.sizeOf(s.pending[:first])
	out, miss := row.resolve(s.opts, false)
	if before, ok := s.before(first, row); ok {
		named, namedMiss := before.resolve(s.opts, true)
		switch {
		case miss == nil && before.isNumber(out.time):
			begin = 0 // it is a row with a fault elsewhere
		case namedMiss == nil:
			s.decide(named, row, true)
			return nil
		default:
			miss, at = namedMiss, 0
		}
	}
	if miss == nil {
		s.drop(begin)
		s.decide(out, row, false)
		return nil
	}
	if s.failure == nil {
		s.failure = s.misfitError(miss, at)
	}
	s.drop(first + 1)
	if s.unknownRows++; s.unknownRows >= maxUnknownRows {
		return s.failure
	}
	return nil
}

// before returns the record before a pending row, if it has as many fields as the
// row. A final delimiter makes no difference.
func (s *search) before(first int, row reading) (before reading, ok bool) {
	if first == 0 || s.pending[0].blank {
		return reading{}, false
	}
	record := s.src.window()[:s.pending[0].size]
	if s.split.split(record, row.delim, true) != splitDone || s.split.size != len(record) {
		return reading{}, false
	}
	before = s.copyReading(record, row.delim)
	return before, before.width() == row.width() || len(before.fields) == len(row.fields)
}

// decide ends the search; the first pending record may be the header.
func (s *search) decide(out resolved, rd reading, hasHeader bool) {
	out.delim = rd.delim
	out.comma = rd.delim != ','
	out.place = *s.src.errorAt(0, "", "")
	s.found = &out
	if hasHeader {
		header := s.pending[0]
		out.quoted = bytes.IndexByte(s.src.window()[:header.size], '"') >= 0
		s.sum.Header.add(header.lines, int64(header.size))
		s.src.consume(header.size, header.lines)
	}
	s.pending, s.ahead = nil, 0
}

// push appends a record to the pending ones. A record of text makes everything
// before it preamble.
func (s *search) push(p pendingRecord) {
	if !p.blank && p.row == nil {
		s.drop(len(s.pending))
	}
	s.ahead += p.size
	if last := len(s.pending) - 1; p.blank && last >= 0 && s.pending[last].blank {
		s.pending[last].size += p.size
		s.pending[last].lines += p.lines
		return
	}
	s.pending = append(s.pending, p)
}

// drop makes the first n pending records preamble.
func (s *search) drop(n int) {
	for _, p := range s.pending[:n] {
		tally := &s.sum.Preamble
		if p.blank {
			tally = &s.sum.Blank
		}
		tally.add(p.lines, int64(p.size))
		s.src.consume(p.size, p.lines)
		s.ahead -= p.size
	}
	s.pending = slices.Delete(s.pending, 0, n)
}

func (s *search) sizeOf(records []pendingRecord) int {
	size := 0
	for _, p := range records {
		size += p.size
	}
	return size
}

// conclude decides at the end of the log.
func (s *search) conclude() error {
	if err := s.settle(); s.found != nil || err != nil {
		return err
	}
	switch {
	case s.src.err != io.EOF:
		return s.src.failure()
	case s.failure != nil:
		return s.failure
	case s.src.offset == 0 && s.ahead == 0:
		return s.src.errorAt(0, "an empty log", "a header and rows of numbers")
	}
	return s.at("no rows of numbers and no header with the wanted names", "a header and rows of numbers")
}
