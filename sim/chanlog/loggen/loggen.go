// Package loggen makes channel logs of any size for tests and measurements.
// Equal shapes give equal bytes.
//
// A log has the columns time_us; aux2, the switch of the record button, which is
// flicked now and then; arm; and numbers that a flight records. These wander, so
// that fields change their width from row to row.
package loggen

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strconv"

	"flicktally/sim"
)

// Shape describes a log.
type Shape struct {
	// Columns is 2 for time_us and aux2; with at least 3 there is arm too.
	Columns int
	Bytes   int64      // the log ends with the row that reaches them
	Period  sim.Micros // from row to row, give or take 10 µs; 0 = 1 ms
	Seed    uint64
}

// Made says what a log contains.
type Made struct {
	Bytes  int64
	Rows   int64
	Flicks int64 // presses of the switch that began
}

// Positions of the switch.
const (
	released = 1000
	pressed  = 2000
)

// Write writes a log. The error is w's.
func Write(w io.Writer, shape Shape) (Made, error) {
	if shape.Columns < 2 {
		panic(fmt.Sprintf("internal error: a log of %d columns", shape.Columns))
	}
	if shape.Period == 0 {
		shape.Period = sim.Millisecond
	}
	out := bufio.NewWriterSize(w, 256<<10)
	f := newFlight(shape)
	line := f.appendRow(nil, func(line []byte, i int) []byte { return append(line, f.columns[i].name...) })
	made := Made{Bytes: int64(len(line))}
	for {
		if _, err := out.Write(line); err != nil {
			return made, err
		}
		if made.Bytes >= shape.Bytes {
			break
		}
		f.moveSwitch()
		line = f.appendRow(line[:0], f.appendValue)
		f.now += f.shape.Period + sim.Micros(f.random.IntN(21)-10)
		made.Bytes += int64(len(line))
		made.Rows++
	}
	made.Flicks = f.flicks
	return made, out.Flush()
}

// flight is the state from row to row.
type flight struct {
	shape   Shape
	random  *rand.Rand
	now     sim.Micros
	aux     int64
	moves   sim.Micros // when the switch moves next
	flicks  int64
	columns []column
	arm     int // index of its column, -1 if there is none
	auxAt   int
}

// column is a column whose value changes by up to step per row. It is written
// with some decimals.
type column struct {
	name     string
	value    int64
	step     int64
	limit    int64
	decimals int
}

var recorded = []column{
	{"turn_roll", 0, 40, 600, 0},
	{"turn_pitch", 0, 40, 600, 0},
	{"turn_yaw", 0, 15, 300, 0},
	{"accel_x", 0, 30, 4000, 3},
	{"accel_y", 0, 30, 4000, 3},
	{"accel_z", 1000, 30, 4000, 3},
	{"motor", 1300, 12, 2000, 0},
	{"volts", 1620, 1, 1680, 2},
}

func newFlight(shape Shape) *flight {
	f := &flight{
		shape:  shape,
		random: rand.New(rand.NewPCG(shape.Seed, 0x6865726f6e)),
		aux:    released,
		moves:  3 * sim.Second,
		arm:    -1,
		auxAt:  1,
	}
	for i := range shape.Columns {
		c := recorded[i%len(recorded)]
		c.name += strconv.Itoa(i / len(recorded))
		f.columns = append(f.columns, c)
	}
	if shape.Columns > 2 {
		f.auxAt = min(1+shape.Columns*3/5, shape.Columns-1)
		f.arm = f.auxAt - 1
		if f.arm == 0 {
			f.arm = shape.Columns - 1
		}
		f.columns[f.arm].name = "arm"
	}
	f.columns[0].name, f.columns[f.auxAt].name = "time_us", "aux2"
	return f
}

// appendRow appends a line with a field for each column.
func (f *flight) appendRow(line []byte, appendField func(line []byte, i int) []byte) []byte {
	for i := range f.columns {
		if i > 0 {
			line = append(line, ',')
		}
		line = appendField(line, i)
	}
	return append(line, '\n')
}

func (f *flight) appendValue(line []byte, i int) []byte {
	switch i {
	case 0:
		return strconv.AppendInt(line, int64(f.now), 10)
	case f.auxAt:
		return strconv.AppendInt(line, f.aux, 10)
	case f.arm:
		return strconv.AppendInt(line, pressed, 10)
	}
	return f.columns[i].append(line, f.random)
}

// moveSwitch moves the switch if it is time: a press lasts 60 to 460 ms, a pause
// 2 to 12 s.
func (f *flight) moveSwitch() {
	if f.now < f.moves {
		return
	}
	if f.aux == released {
		f.aux = pressed
		f.flicks++
		f.moves += sim.Micros(60+f.random.IntN(400)) * sim.Millisecond
		return
	}
	f.aux = released
	f.moves += sim.Micros(2000+f.random.IntN(10000)) * sim.Millisecond
}

// append changes the value and writes it.
func (c *column) append(line []byte, random *rand.Rand) []byte {
	c.value += random.Int64N(2*c.step+1) - c.step
	c.value = min(max(c.value, -c.limit), c.limit)
	if c.decimals == 0 {
		return strconv.AppendInt(line, c.value, 10)
	}
	return strconv.AppendFloat(line, float64(c.value)/math.Pow10(c.decimals), 'f', c.decimals, 64)
}
