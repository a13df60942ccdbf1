package chanlog

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"

	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/problem"
)

// differs says how two outcomes differ; "" if they do not.
func (o outcome) differs(other outcome) string {
	switch {
	case o.rows != other.rows:
		return fmt.Sprintf("rows %q and %q", o.rows, other.rows)
	case fmt.Sprint(o.err) != fmt.Sprint(other.err):
		return fmt.Sprintf("errors %v and %v", o.err, other.err)
	case o.err == nil && fmt.Sprintf("%+v", o.sum.comparable()) != fmt.Sprintf("%+v", other.sum.comparable()):
		return fmt.Sprintf("summaries\n%+v and\n%+v", o.sum, other.sum)
	}
	return ""
}

// comparable returns the summary with its errors as text.
func (s Summary) comparable() any {
	var skip string
	if s.FirstSkip != nil {
		skip = problem.Explain(s.FirstSkip)
	}
	s.FirstSkip = nil
	return []any{s, skip}
}

// genWay draws how a log is read.
func genWay(t *rapid.T) way {
	readers := []func(io.Reader) io.Reader{nil, iotest.OneByteReader, iotest.HalfReader, iotest.DataErrReader}
	return way{
		tuning: tuning{
			buffer:  rapid.SampledFrom([]int{2, 3, 7, 16, 64, 1000, defaultTuning.buffer}).Draw(t, "buffer"),
			general: rapid.Bool().Draw(t, "general"),
		},
		ahead:  rapid.Bool().Draw(t, "ahead"),
		reader: readers[rapid.IntRange(0, len(readers)-1).Draw(t, "reader")],
	}
}

// genDirt draws logs of pieces that mean something to the reader, in any order.
func genDirt(t *rapid.T) []byte {
	pieces := rapid.SampledFrom([]string{
		"time_us", "aux2", "arm", "0", "1", "20", "1500", "1000.5", "1e3", "-7", "nan", "x", "4294967290",
		",", ",", ",", ";", "\t", " ", "\n", "\n", "\n", "\r\n", "\r", `"`, `""`, "\x00", "\xef\xbb\xbf", "\xff",
		"time_us,aux2\n", "time_us,aux2,arm\n", "time_us;aux2\n", "0,1000\n", "20,1500\n", "40,1000,1\n", "1;2\n", "\"1\",\"2\"\n", "5,1000,\n",
	})
	var log bytes.Buffer
	if rapid.Bool().Draw(t, "with a header") {
		log.WriteString("time_us,aux2\n")
	}
	for range rapid.IntRange(0, 30).Draw(t, "pieces") {
		log.WriteString(pieces.Draw(t, "piece"))
	}
	return log.Bytes()
}

func genOptions(t *rapid.T) Options {
	return Options{
		Spec: spec(
			rapid.SampledFrom([]string{"", "", "#1", "#2"}).Draw(t, "time"),
			rapid.SampledFrom([]string{"", "aux2", "#2", "#3"}).Draw(t, "channel"),
			rapid.SampledFrom([]string{"", "", "arm", "#3"}).Draw(t, "armed"),
		),
		Delimiter: rapid.SampledFrom([]Delimiter{delimiterAuto, delimiterAuto, DelimiterComma, delimiterSemicolon}).Draw(t, "delimiter"),
		Lenient:   rapid.Bool().Draw(t, "lenient"),
	}
}

// However a log arrives and is read, the outcome is the same, to the last byte of
// an error.
func TestWayOfReadingMakesNoDifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		log, opts := genDress(t)(genDirt(t)), genOptions(t)
		one, other := genWay(t), genWay(t)
		if d := read(log, opts, one).differs(read(log, opts, other)); d != "" {
			t.Fatalf("%q read with %+v and %+v: %s", log, one, other, d)
		}
	})
}

func TestEveryByteIsAccountedFor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		log, opts := genDress(t)(genDirt(t)), genOptions(t)
		out := read(log, opts, genWay(t))
		log = plainText(log)
		if out.err != nil {
			return
		}
		if out.sum.total().Bytes != int64(len(log)) {
			t.Fatalf("%q: %d bytes accounted for, want %d: %+v", log, out.sum.total().Bytes, len(log), out.sum)
		}
		if want := countLines(log); out.sum.total().Lines != want {
			t.Fatalf("%q: %d lines accounted for, want %d: %+v", log, out.sum.total().Lines, want, out.sum)
		}
	})
}

// dialect is one way to write the same table.
type dialect struct {
	delim  string
	end    string
	mark   string // of decimals
	quotes int    // of ten fields, how many are quoted
	spaces bool
	ended  bool // the last row has a line end
}

func genDialect(t *rapid.T) dialect {
	d := dialect{
		delim:  rapid.SampledFrom([]string{",", ";", "\t"}).Draw(t, "delimiter"),
		end:    rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "line end"),
		mark:   ".",
		quotes: rapid.SampledFrom([]int{0, 1, 10}).Draw(t, "quotes"),
		spaces: rapid.Bool().Draw(t, "spaces"),
		ended:  rapid.Bool().Draw(t, "ended"),
	}
	if d.delim != "," && rapid.Bool().Draw(t, "decimal comma") {
		d.mark = ","
	}
	return d
}

func (d dialect) field(t *rapid.T, text string) string {
	text = strings.Replace(text, ".", d.mark, 1)
	header := strings.HasPrefix(text, "c") // in quotes, so that text may run over lines
	if header || rapid.IntRange(0, 9).Draw(t, "quote") < d.quotes || strings.ContainsAny(text, "\"\n"+d.delim) {
		text = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
	}
	if d.spaces && rapid.IntRange(0, 3).Draw(t, "space") == 0 {
		text = " " + text
	}
	return text
}

// The samples of a random log in a random dialect are what encoding/csv, an
// independent reader of RFC 4180, finds in the wanted columns.
func TestReaderAgreesWithEncodingCSV(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := genDialect(t)
		columns := rapid.IntRange(2, 45).Draw(t, "columns")
		places := rapid.Permutation(seq(columns)).Draw(t, "places")
		time, channel := places[0], places[1]
		log := d.write(t, columns, time, channel)

		want := withEncodingCSV(t, log, d, time, channel)
		// Live leaves times as they are, and does not spread rows of a coarse clock.
		opts := Options{Spec: spec("", "aux2", ""), Live: true}
		if out := read([]byte(log), opts, genWay(t)); out.err != nil || out.rows != want {
			t.Fatalf("%q: got %q, error %v, want %q", log, out.rows, out.err, want)
		}
	})
}

func seq(n int) (out []int) {
	for i := range n {
		out = append(out, i)
	}
	return out
}

// write writes a log of random rows; other columns hold any text.
func (d dialect) write(t *rapid.T, columns, time, channel int) string {
	other := rapid.SampledFrom([]string{"1", "-12.75", "", "mark 1", "say \"close\"", "a;b,c\td", "two\nlines"})
	var log strings.Builder
	at := 0
	for row := range rapid.IntRange(2, 12).Draw(t, "rows") {
		var fields []string
		for i := range columns {
			var text string
			switch {
			case row == 0 && i == time:
				text = "time_us"
			case row == 0 && i == channel:
				text = "aux2"
			case row == 0:
				text = "c" + strconv.Itoa(i)
			case i == time:
				at += rapid.IntRange(0, 30000).Draw(t, "step")
				text = strconv.Itoa(at)
			case i == channel:
				text = rapid.SampledFrom([]string{"1000", "1500.5", "2e3", "988", ""}).Draw(t, "value")
			default:
				text = other.Draw(t, "text")
			}
			fields = append(fields, d.field(t, text))
		}
		if row > 0 {
			log.WriteString(d.end)
		}
		log.WriteString(strings.Join(fields, d.delim))
	}
	if d.ended {
		log.WriteString(d.end)
	}
	return log.String()
}

func withEncodingCSV(t *rapid.T, log string, d dialect, time, channel int) string {
	r := csv.NewReader(strings.NewReader(log))
	r.Comma = rune(d.delim[0])
	r.TrimLeadingSpace = d.delim != "\t"
	if !r.TrimLeadingSpace && d.spaces {
		r.LazyQuotes = true
		t.Skip("encoding/csv cannot trim spaces beside tabs")
	}
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []string
	first := 0
	for i, record := range records[1:] {
		at, err := strconv.Atoi(strings.TrimSpace(record[time]))
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = at
		}
		text := strings.Replace(strings.TrimSpace(record[channel]), ",", ".", 1)
		value := "-"
		if text != "" {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			value = fmt.Sprint(v)
		}
		rows = append(rows, fmt.Sprint(at-first, " ", value))
	}
	return strings.Join(rows, ", ")
}

// A shift of all times changes nothing (M0).
func TestShiftInTimeChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shift := rapid.Int64Range(-1e15, 1e15).Draw(t, "shift")
		var plain, shifted strings.Builder
		at := int64(1e10)
		for range rapid.IntRange(1, 20).Draw(t, "rows") {
			at += rapid.Int64Range(-1000, 20000).Draw(t, "step")
			v := rapid.IntRange(900, 2100).Draw(t, "value")
			fmt.Fprintf(&plain, "%d,%d\n", at, v)
			fmt.Fprintf(&shifted, "%d,%d\n", at+shift, v)
		}
		opts := Options{Spec: spec("", "", "")}
		opts.Spec.Unit = sim.UnitMicros
		a, b := read([]byte(plain.String()), opts, plainWay), read([]byte(shifted.String()), opts, plainWay)
		if a.rows != b.rows || a.err != nil || b.err != nil {
			t.Fatalf("%q and %q: got %q and %q, errors %v, %v", plain.String(), shifted.String(), a.rows, b.rows, a.err, b.err)
		}
	})
}
