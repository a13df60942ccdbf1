// Package loggen makes channel logs of any size for tests and measurements:
// equal shapes give equal bytes.
//
// A log has the columns time_us, then whatever a flight records, and among it
// aux2, the switch of the record button, flicked now and then as a pilot does,
// and arm. The numbers beside them wander as those of a flight do, so that
// fields change their width from row to row.
package loggen

import (
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"

	"flicktally/sim"
)

// Shape describes a log.
type Shape struct {
	// Columns is 2 for time_us and aux2 alone; else at least 3, with arm.
	Columns int
	Bytes   int64      // the log ends with the row that reaches them
	Period  sim.Micros // from row to row, give or take some µs; 0 = 1 ms
	Seed    uint64
}

// Made says what a log holds.
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
	line := f.appendHeader(nil)
	made := Made{Bytes: int64(len(line))}
	for {
		if _, err := out.Write(line); err != nil {
			return made, err
		}
		if made.Bytes >= shape.Bytes {
			break
		}
		line = f.appendRow(line[:0])
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
	aux     int
	moves   sim.Micros // when the switch moves next
	flicks  int64
	columns []wanderer // in place of the wanted columns: unused
	arm     int        // index of its column, -1 without
	auxAt   int
}

// wanderer is a column that moves by up to step per row, and is written with
// some decimals.
type wanderer struct {
	name     string
	value    int64
	step     int64
	limit    int64
	decimals int
}

var recorded = []wanderer{
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
	if shape.Columns > 2 {
		f.auxAt = 1 + shape.Columns*3/5
		f.auxAt = min(f.auxAt, shape.Columns-1)
		f.arm = f.auxAt - 1
		if f.arm == 0 {
			f.arm = shape.Columns - 1
		}
	}
	for i := range shape.Columns {
		column := recorded[i%len(recorded)]
		column.name += strconv.Itoa(i / len(recorded))
		f.columns = append(f.columns, column)
	}
	return f
}

func (f *flight) appendHeader(line []byte) []byte {
	for i, column := range f.columns {
		if i > 0 {
			line = append(line, ',')
		}
		switch i {
		case 0:
			line = append(line, "time_us"...)
		case f.auxAt:
			line = append(line, "aux2"...)
		case f.arm:
			line = append(line, "arm"...)
		default:
			line = append(line, column.name...)
		}
	}
	return append(line, '\n')
}

func (f *flight) appendRow(line []byte) []byte {
	f.moveSwitch()
	for i := range f.columns {
		if i > 0 {
			line = append(line, ',')
		}
		switch i {
		case 0:
			line = strconv.AppendInt(line, int64(f.now), 10)
		case f.auxAt:
			line = strconv.AppendInt(line, int64(f.aux), 10)
		case f.arm:
			line = strconv.AppendInt(line, pressed, 10)
		default:
			line = f.columns[i].append(line, f.random)
		}
	}
	f.now += f.shape.Period + sim.Micros(f.random.IntN(21)-10)
	return append(line, '\n')
}

// moveSwitch flicks: a press lasts 60 to 460 ms, the pauses 2 to 12 s.
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

// append moves the column on and writes it.
func (w *wanderer) append(line []byte, random *rand.Rand) []byte {
	w.value += random.Int64N(2*w.step+1) - w.step
	w.value = min(max(w.value, -w.limit), w.limit)
	if w.decimals == 0 {
		return strconv.AppendInt(line, w.value, 10)
	}
	scale := 1.0
	for range w.decimals {
		scale *= 10
	}
	return strconv.AppendFloat(line, float64(w.value)/scale, 'f', w.decimals, 64)
}
