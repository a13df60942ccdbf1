package chanlog

import "fmt"

// rowShape is where the numbers are in a row whose numbers are all wanted. It
// reads rows of whole numbers while they have the shape of the previous row,
// the same number of digits at the same places. Nothing then has to wait for
// the end of a number to be found.
type rowShape struct {
	size   int // of the row with its line end; 0 = not known
	fields []shapedField
	whole  bool // it can read rows
	none   bool // times with a date have no shape
	parts  *parts
	// micros is the tick of the time in µs; digits is the most that a whole
	// number may have to be sure to stay within maxTime.
	micros int64
	digits int
}

// shapedField is a number of a row.
type shapedField struct {
	role     role
	at, end  int
	digits   int
	decimals int
	negative bool
	text     bool // it is not a plain number
	behind   byte // the byte after it
}

// know sets the cell readers.
func (s *rowShape) know(p *parts) {
	s.parts, s.micros, s.none = p, int64(p.form.tick.micros()), p.form.kind == timeDated
	if s.micros > 0 {
		s.digits = maxTimeDigits - p.form.tick.digits()
	}
}

// begin, add and end learn the shape of a row.
func (s *rowShape) begin() { s.size, s.fields, s.whole = 0, s.fields[:0], true }

func (s *rowShape) add(w *wantedColumn, at, end int, n decimal, behind byte) {
	if s.none {
		return
	}
	s.whole = s.whole && !w.texts && end-at == n.digits && n.digits <= maxFixedDigits && (w.role != roleTime || n.digits <= s.digits)
	s.fields = append(s.fields, shapedField{w.role, at, end, n.digits, n.decimals, n.negative, w.texts, behind})
}

func (s *rowShape) end(size int) {
	if !s.none {
		s.size = size
	}
}

// field returns the place of a role's number.
func (s *rowShape) field(role role) shapedField {
	for _, f := range s.fields {
		if f.role == role {
			return f
		}
	}
	panic(fmt.Sprintf("internal error: a row without the number of role %d", role))
}

// scan reads the row at the start of data, if it has the shape.
func (s *rowShape) scan(data []byte, row *row) bool {
	if !s.whole || s.size == 0 || s.size+maxFixedDigits > len(data) {
		return false
	}
	wrong := uint64(data[s.size-1] ^ '\n')
	for i := range s.fields {
		f := &s.fields[i]
		value, others := fixedDigits(data[f.at:], f.digits)
		wrong |= others | uint64(data[f.end]^f.behind)
		switch f.role {
		case roleTime:
			row.time = int64(value) * s.micros
		case roleChannel:
			row.channel = s.parts.channel.width(float64(value))
		case roleArmed:
			row.armed = s.parts.armed.width(float64(value))
		case roleFailsafe:
			row.lost = s.parts.failsafe.says(float64(value))
		}
	}
	return wrong == 0
}
