package export

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
)

// Format is a format of the tables.
type Format string

// The formats. A missing value is an empty field in CSV. In JSON lines, one
// object per line, its key is omitted.
const (
	CSV       Format = "csv"
	JSONLines Format = "jsonl"
)

// column is a column of a table; a nil value is missing.
type column[Row any] struct {
	name  string
	value func(f *flight.Flight, row Row) any
}

// micros omits Never.
func micros(m sim.Micros) any {
	if m == sim.Never {
		return nil
	}
	return int64(m)
}

// name omits an empty name.
func name(text string) any {
	if text == "" {
		return nil
	}
	return text
}

// number omits 0.
func number(n int) any {
	if n == 0 {
		return nil
	}
	return n
}

// handBounds omits unknown bounds.
func handBounds(f *flight.Flight, p sim.Press, bound func(sim.Interval) sim.Micros) any {
	bounds, ok := f.Replay.HandBounds(p)
	if !ok {
		return nil
	}
	return micros(bound(bounds))
}

var takeColumns = []column[sim.Take]{
	{"log", func(f *flight.Flight, _ sim.Take) any { return f.File }},
	{"segment", func(f *flight.Flight, _ sim.Take) any { return f.Segment }},
	{"take", func(_ *flight.Flight, t sim.Take) any { return t.N }},
	{"start_us", func(_ *flight.Flight, t sim.Take) any { return micros(t.Start) }},
	{"end_us", func(_ *flight.Flight, t sim.Take) any { return micros(t.End) }},
	{"length_us", func(_ *flight.Flight, t sim.Take) any { return micros(t.Length()) }},
	{"start", func(_ *flight.Flight, t sim.Take) any { return t.Start.FineClock() }},
	{"end", func(_ *flight.Flight, t sim.Take) any { return t.End.FineClock() }},
	{"length", func(_ *flight.Flight, t sim.Take) any { return t.Length().FineClock() }},
	{"ended", func(_ *flight.Flight, t sim.Take) any { return string(t.Ended) }},
	{"ended_by_press", func(_ *flight.Flight, t sim.Take) any { return number(t.EndedBy) }},
	{"clip_name", func(f *flight.Flight, t sim.Take) any { return name(clipName(f, t)) }},
	{"clip_length_us", func(f *flight.Flight, t sim.Take) any {
		clip, known := clipOf(f, t)
		if !known || clip.NoLength {
			return nil
		}
		return micros(clip.Length)
	}},
}

var pressColumns = []column[sim.Press]{
	{"log", func(f *flight.Flight, _ sim.Press) any { return f.File }},
	{"segment", func(f *flight.Flight, _ sim.Press) any { return f.Segment }},
	{"press", func(_ *flight.Flight, p sim.Press) any { return p.N }},
	{"down_us", func(_ *flight.Flight, p sim.Press) any { return micros(p.Down) }},
	{"up_us", func(_ *flight.Flight, p sim.Press) any { return micros(p.Up) }},
	{"hold_us", func(_ *flight.Flight, p sim.Press) any { return micros(p.Hold()) }},
	{"hold_least_us", func(f *flight.Flight, p sim.Press) any {
		return handBounds(f, p, func(hold sim.Interval) sim.Micros { return hold.Low })
	}},
	{"hold_most_us", func(f *flight.Flight, p sim.Press) any {
		return handBounds(f, p, func(hold sim.Interval) sim.Micros { return hold.High })
	}},
	{"down", func(_ *flight.Flight, p sim.Press) any { return p.Down.FineClock() }},
	{"verdict", func(_ *flight.Flight, p sim.Press) any { return string(p.Verdict) }},
	{"acts_us", func(_ *flight.Flight, p sim.Press) any { return micros(p.Acts) }},
	{"state_at", func(_ *flight.Flight, p sim.Press) any { return string(p.StateAt) }},
	{"state_after", func(_ *flight.Flight, p sim.Press) any { return string(p.StateAfter) }},
	{"from_start", func(_ *flight.Flight, p sim.Press) any { return p.FromStart }},
	{"doubtful", func(_ *flight.Flight, p sim.Press) any { return p.Doubtful }},
	{"clip", func(f *flight.Flight, p sim.Press) any { t, _ := clipAt(f, p.Down); return number(t.N) }},
	{"clip_name", func(f *flight.Flight, p sim.Press) any {
		t, in := clipAt(f, p.Down)
		if !in {
			return nil
		}
		return name(clipName(f, t))
	}},
	{"clip_down_us", func(f *flight.Flight, p sim.Press) any {
		t, in := clipAt(f, p.Down)
		if !in {
			return nil
		}
		return micros(p.Down - t.Start)
	}},
}

// Takes writes the takes of flights, one per row.
func Takes(w io.Writer, flights []flight.Flight, format Format) error {
	return writeTable(w, flights, func(f *flight.Flight) []sim.Take { return f.Replay.Takes }, takeColumns, format)
}

// Presses writes the presses of flights, one per row. A press that goes down
// during a take also has its time in that clip.
func Presses(w io.Writer, flights []flight.Flight, format Format) error {
	return writeTable(w, flights, func(f *flight.Flight) []sim.Press { return f.Replay.Presses }, pressColumns, format)
}

func writeTable[Row any](w io.Writer, flights []flight.Flight, rows func(*flight.Flight) []Row, columns []column[Row], format Format) error {
	write := writeCSV[Row]
	if format == JSONLines {
		write = writeJSONLines[Row]
	}
	return write(w, flights, rows, columns)
}

func writeCSV[Row any](w io.Writer, flights []flight.Flight, rows func(*flight.Flight) []Row, columns []column[Row]) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true // as RFC 4180 requires
	record := make([]string, len(columns))
	for i, c := range columns {
		record[i] = c.name
	}
	out.Write(record)
	for i := range flights {
		f := &flights[i]
		for _, row := range rows(f) {
			for i, c := range columns {
				record[i] = cell(c.value(f, row))
			}
			out.Write(record)
		}
	}
	out.Flush()
	return out.Error()
}

// cell writes a value as a field.
func cell(value any) string {
	switch v := value.(type) {
	case nil:
		return ""
	case int64:
		return strconv.FormatInt(v, 10)
	case int:
		return strconv.Itoa(v)
	case bool:
		return strconv.FormatBool(v)
	case string:
		return excerpt.Cell(v)
	default:
		panic(fmt.Sprintf("internal error: a cell of type %T", value))
	}
}

func writeJSONLines[Row any](w io.Writer, flights []flight.Flight, rows func(*flight.Flight) []Row, columns []column[Row]) error {
	w = excerpt.JSON(w)
	var line []byte
	for i := range flights {
		f := &flights[i]
		for _, row := range rows(f) {
			line = append(line[:0], '{')
			for _, c := range columns {
				value := c.value(f, row)
				if value == nil {
					continue
				}
				text, err := json.Marshal(value)
				if err != nil {
					return err
				}
				if len(line) > 1 {
					line = append(line, ',')
				}
				line = append(strconv.AppendQuote(line, c.name), ':')
				line = append(line, text...)
			}
			if _, err := w.Write(append(line, '}', '\n')); err != nil {
				return err
			}
		}
	}
	return nil
}
