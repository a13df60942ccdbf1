package chanlog

import "fmt"

// rowShape is where the numbers of a row stand that are all wanted. Rows of
// whole numbers it reads as long as they have the shape of the row before, as
// many digits at the same places: as nothing waits for where a number ends, all
// of it is read at once.
type rowShape struct {
	size   int // of the row with its line end; 0 = not known
	fields []shapedField
	unit   int   // exponent of the unit of the time
	factor int64 // from that unit to µs
	whole  bool  // it can read rows
}

// shapedField is a number of a row.
type shapedField struct {
	role     role
	at, end  int
	digits   int
	decimals int
	negative bool
	behind   byte // what stands behind it
}

// begin, add and end learn the shape of a row.
func (s *rowShape) begin(unit int) {
	s.size, s.fields, s.whole = 0, s.fields[:0], true
	s.unit, s.factor = unit, int64(powers[unit])
}

func (s *rowShape) add(role role, at, end int, n decimal, behind byte) {
	s.whole = s.whole && end-at == n.digits && n.digits <= maxFixedDigits && (role != roleTime || n.digits+s.unit <= maxTimeDigits)
	s.fields = append(s.fields, shapedField{role, at, end, n.digits, n.decimals, n.negative, behind})
}

func (s *rowShape) end(size int) { s.size = size }

// field returns where the number of a role stands.
func (s *rowShape) field(role role) shapedField {
	for _, f := range s.fields {
		if f.role == role {
			return f
		}
	}
	panic(fmt.Sprintf("internal error: a row without the number of role %d", role))
}

// scan reads the row at the beginning of data, if it has the shape.
func (s *rowShape) scan(data []byte, row *rowNumbers) bool {
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
			row.time = int64(value) * s.factor
		case roleChannel:
			row.channel = float64(value)
		case roleArmed:
			row.armed = float64(value)
		}
	}
	return wrong == 0
}
