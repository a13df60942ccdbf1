package chanlog

// rowShape reads a row that has the shape of the row before, whole numbers of
// as many digits at the same places. As nothing waits for where a number ends,
// all of it is read at once.
type rowShape struct {
	size   int // of the row with its line end; 0 = the row before had no such shape
	fields []shapedField
	unit   int
	factor int64 // from the unit of the time to µs
	fits   bool
}

// shapedField is a number of a row.
type shapedField struct {
	role      role
	at, count int  // of the digits
	end       byte // what stands behind them
}

// maxTimeDigits keeps a time within maxTime, once it is in µs.
const maxTimeDigits = 17

// begin, add and end learn the shape of a row.
func (s *rowShape) begin(unit int) {
	s.size, s.fields, s.fits = 0, s.fields[:0], true
	s.unit, s.factor = unit, int64(powers[unit])
}

func (s *rowShape) add(role role, at, end int, n decimal, behind byte) {
	s.fits = s.fits && end-at == n.digits && n.digits <= maxPlainDigits && (role != roleTime || n.digits+s.unit <= maxTimeDigits)
	s.fields = append(s.fields, shapedField{role, at, n.digits, behind})
}

func (s *rowShape) end(size int) {
	if s.fits {
		s.size = size
	}
}

// scan reads the row at the beginning of data, if it has the shape.
func (s *rowShape) scan(data []byte, row *rowNumbers) bool {
	if s.size+maxFixedDigits > len(data) {
		return false
	}
	wrong := uint64(data[s.size-1] ^ '\n')
	for i := range s.fields {
		f := &s.fields[i]
		value, others := fixedDigits(data[f.at:], f.count)
		wrong |= others | uint64(data[f.at+f.count]^f.end)
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
