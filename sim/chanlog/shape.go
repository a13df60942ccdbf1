package chanlog

import "fmt"

// rowShape is where the wanted fields are in a row. If no column is unwanted and
// all are whole numbers, it reads the rows that have as many digits in the same
// places, without a search for the end of each number.
type rowShape struct {
	size   int // of the row with its line end; 0 = not known
	fields []shapedField
	whole  bool // all fields are whole numbers
	parts  *parts
	// micros is the unit of the time in µs; digits is the most digits that a
	// whole number can have and be sure to stay within maxTime.
	micros int64
	digits int
}

// shapedField is a field of a row.
type shapedField struct {
	role     role
	at, end  int
	digits   int
	decimals int
	negative bool
	text     bool // it is not a plain number
	next     byte // the byte after it
}

// know sets how cells are read.
func (s *rowShape) know(p *parts) {
	s.parts, s.micros = p, int64(p.form.tick.micros())
	if s.micros > 0 {
		s.digits = maxTimeDigits - p.form.tick.digits()
	}
}

// begin starts to learn the shape of a row; add and end complete it.
func (s *rowShape) begin() { s.size, s.fields, s.whole = 0, s.fields[:0], true }

func (s *rowShape) add(w *wantedColumn, at, end int, n decimal, next byte) {
	s.whole = s.whole && !w.texts && end-at == n.digits && n.digits <= maxFixedDigits && (w.role != roleTime || n.digits <= s.digits)
	s.fields = append(s.fields, shapedField{w.role, at, end, n.digits, n.decimals, n.negative, w.texts, next})
}

func (s *rowShape) end(size int) { s.size = size }

// field returns the field of a role.
func (s *rowShape) field(role role) shapedField {
	for _, f := range s.fields {
		if f.role == role {
			return f
		}
	}
	panic(fmt.Sprintf("internal error: a row without a field of role %d", role))
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
		wrong |= others | uint64(data[f.end]^f.next)
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
