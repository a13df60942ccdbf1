package export

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"iter"
	"strconv"
	"strings"

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

// micros returns a time, nil for Never.
func micros(m sim.Micros) any {
	if m == sim.Never {
		return nil
	}
	return int64(m)
}

// given returns a value, nil for the zero value.
func given[T comparable](v T) any {
	var zero T
	if v == zero {
		return nil
	}
	return v
}

// handBounds returns the bounds of the hand's hold, Never if unknown.
func handBounds(f *flight.Flight, p sim.Press) sim.Interval {
	if bounds, ok := f.Replay.HandBounds(p); ok {
		return bounds
	}
	return sim.Exactly(sim.Never)
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
	{"ended_by_press", func(_ *flight.Flight, t sim.Take) any { return given(t.EndedBy) }},
	{"clip_name", func(f *flight.Flight, t sim.Take) any { return given(clipName(f, t)) }},
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
	{"hold_least_us", func(f *flight.Flight, p sim.Press) any { return micros(handBounds(f, p).Low) }},
	{"hold_most_us", func(f *flight.Flight, p sim.Press) any { return micros(handBounds(f, p).High) }},
	{"down", func(_ *flight.Flight, p sim.Press) any { return p.Down.FineClock() }},
	{"verdict", func(_ *flight.Flight, p sim.Press) any { return string(p.Verdict) }},
	{"acts_us", func(_ *flight.Flight, p sim.Press) any { return micros(p.Acts) }},
	{"state_at", func(_ *flight.Flight, p sim.Press) any { return string(p.StateAt) }},
	{"state_after", func(_ *flight.Flight, p sim.Press) any { return string(p.StateAfter) }},
	{"from_start", func(_ *flight.Flight, p sim.Press) any { return p.FromStart }},
	{"doubtful", func(_ *flight.Flight, p sim.Press) any { return p.Doubtful }},
	{"clip", func(f *flight.Flight, p sim.Press) any { return given(takeAt(f, p.Down).N) }},
	{"clip_name", func(f *flight.Flight, p sim.Press) any { return given(clipName(f, takeAt(f, p.Down))) }},
	{"clip_down_us", func(f *flight.Flight, p sim.Press) any {
		t := takeAt(f, p.Down)
		if t.N == 0 {
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

func writeTable[Row any](w io.Writer, flights []flight.Flight, rowsOf func(*flight.Flight) []Row, columns []column[Row], format Format) error {
	names := each(columns, func(c column[Row]) string { return c.name })
	rows := func(yield func([]any) bool) {
		for i := range flights {
			f := &flights[i]
			for _, row := range rowsOf(f) {
				if !yield(each(columns, func(c column[Row]) any { return c.value(f, row) })) {
					return
				}
			}
		}
	}
	if format == JSONLines {
		return writeJSONLines(w, names, rows)
	}
	return writeCSV(w, names, rows)
}

func writeCSV(w io.Writer, names []string, rows iter.Seq[[]any]) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true // as RFC 4180 requires
	out.Write(names)
	for row := range rows {
		out.Write(each(row, cell))
	}
	out.Flush()
	return out.Error()
}

// cell writes a value as a field.
func cell(value any) string {
	switch v := value.(type) {
	case nil:
		return ""
	case int64, int, bool:
		return fmt.Sprint(v)
	case string:
		return excerpt.Cell(v)
	default:
		panic(fmt.Sprintf("internal error: a cell of type %T", value))
	}
}

func writeJSONLines(w io.Writer, names []string, rows iter.Seq[[]any]) error {
	w = excerpt.JSON(w)
	for row := range rows {
		var members []string
		for i, value := range row {
			if value == nil {
				continue
			}
			text, err := json.Marshal(value)
			if err != nil {
				return err
			}
			members = append(members, strconv.Quote(names[i])+":"+string(text))
		}
		if _, err := fmt.Fprintf(w, "{%s}\n", strings.Join(members, ",")); err != nil {
			return err
		}
	}
	return nil
}
