package chanlog

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"
)

// genTimed draws logs whose times are clocks, dates or numbers in odd units, and
// whose cells are words or numbers, with dirt among them.
func genTimed(t *rapid.T) ([]byte, Options) {
	form := rapid.SampledFrom([]struct{ header, layout string }{
		{"Time", "15:04:05.000"}, {"Time", "04:05.0"}, {"Date,Time", "2006-01-02,15:04:05.000"}, {"Date,Time", "02/01/2006,15:04:05.0"},
		{"Time", time.RFC3339Nano}, {"time", "02.01.2006 15:04:05.00"}, {"t10ms", ""}, {"time (min)", ""}, {"t", ""}, {"time", "s"},
	}).Draw(t, "form")
	random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
	extra := rapid.SampledFrom([]string{"", ",1,a,-3.5"}).Draw(t, "other columns")
	words := rapid.SampledFrom([][]string{nil, {"rec"}}).Draw(t, "words")
	cells := []string{"1000", "1000", "2000", "1000us", "on", "off", "", "beep|rec", "rec", `"rec"`}
	if words == nil {
		cells = cells[:7]
	}
	opts := Options{Spec: spec("", "aux2", ""), Lenient: rapid.Bool().Draw(t, "lenient")}
	opts.Spec.Words = words
	opts.Spec.Failsafe = rapid.SampledFrom([]string{"", "fs"}).Draw(t, "failsafe")
	var log bytes.Buffer
	fmt.Fprintf(&log, "%s,aux2,fs%s\n", form.header, []string{"", ",x,y,z"}[min(1, len(extra))])
	at := time.Date(2026, 5, 3, 23, 59, 58, 0, time.UTC)
	for range random.IntN(60) {
		text := at.Format(form.layout)
		switch form.layout {
		case "":
			text = fmt.Sprint(at.UnixMilli() / 10 % 1e6)
		case "s":
			text = fmt.Sprintf("%d s", at.Unix()%1000)
		}
		line := fmt.Sprintf("%s,%s,%s%s\n", text, oneOf(random, cells...), oneOf(random, "0", "0", "0", "1", "true", "off"), extra)
		if random.IntN(30) == 0 {
			line = oneOf(random, "x"+line, "\n", line[1:], " "+line, "\"\n", line[:len(line)/2]+"\n")
		}
		log.WriteString(line)
		at = at.Add(time.Duration(oneOf(random, 20, 20, 20, 0, 300, -500, 30_000)) * time.Millisecond)
	}
	return log.Bytes(), opts
}

// The ways to write a log of commas and line feeds differently.
var (
	delims    = []string{",", ";", "\t", "|", "  ", " "}
	lineEnds  = []string{"\n", "\r\n", "\r"}
	encodings = []encoding.Encoding{encoding.Nop, unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), unicode.UTF16(unicode.BigEndian, unicode.UseBOM)}
)

// dress rewrites a log with another delimiter, other line ends, another encoding.
func dress(log []byte, delim, end string, as encoding.Encoding) []byte {
	log = bytes.ReplaceAll(bytes.ReplaceAll(log, []byte(","), []byte(delim)), []byte("\n"), []byte(end))
	wide, err := as.NewEncoder().Bytes(log)
	if err != nil || len(log) == 0 {
		return log // it cannot be written this way
	}
	return wide
}

// genDress draws how a log is written.
func genDress(t *rapid.T) func(log []byte) []byte {
	delim := rapid.SampledFrom(delims).Draw(t, "delimiter")
	end := rapid.SampledFrom(lineEnds).Draw(t, "line end")
	as := rapid.SampledFrom(encodings).Draw(t, "encoding")
	return func(log []byte) []byte { return dress(log, delim, end, as) }
}

// plainText is a log in UTF-8 with line feeds.
func plainText(log []byte) []byte {
	if text, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(log); err == nil {
		log = text
	}
	if !bytes.Contains(log, []byte("\n")) && bytes.Contains(bytes.TrimRight(log, "\r"), []byte("\r")) {
		log = bytes.ReplaceAll(log, []byte("\r"), []byte("\n"))
	}
	return log
}

// Both ways read clocks, dates, words and units alike, however the log is written.
func TestWayOfReadingMakesNoDifferenceToClocksAndWords(t *testing.T) {
	read1 := 0
	rapid.Check(t, func(t *rapid.T) {
		log, opts := genTimed(t)
		log = genDress(t)(log)
		one, other := genWay(t), genWay(t)
		first := read(log, opts, one)
		if d := first.differs(read(log, opts, other)); d != "" {
			t.Fatalf("%q read with %+v and %+v: %s", log, one, other, d)
		}
		if first.err == nil {
			read1++
			if want := int64(len(plainText(log))); first.sum.total().Bytes != want {
				t.Fatalf("%q: %d bytes accounted for, want %d", log, first.sum.total().Bytes, want)
			}
		}
	})
	if read1 == 0 {
		t.Error("no log was ever read")
	}
}

// A date with a clock reads as in package time: RFC 3339, and the examples of its
// section 5.8.
func TestDatedAgreesWithPackageTime(t *testing.T) {
	check := func(t interface{ Fatalf(string, ...any) }, text string) {
		want, err := time.Parse(time.RFC3339Nano, text)
		got, ok := parseDated([]byte(text), dayFirst, false)
		if err != nil || !ok || got != want.UnixMicro() {
			t.Fatalf("%s: got %d, %t, want %d, %v", text, got, ok, want.UnixMicro(), err)
		}
	}
	for _, text := range []string{"1985-04-12T23:20:50.52Z", "1996-12-19T16:39:57-08:00", "1937-01-01T12:00:27.87+00:20"} {
		check(t, text)
	}
	rapid.Check(t, func(t *rapid.T) {
		zone := time.FixedZone("", 60*rapid.IntRange(-23*60, 23*60).Draw(t, "zone"))
		at := time.UnixMicro(rapid.Int64Range(0, 4e15).Draw(t, "at")).In(zone)
		check(t, at.Format("2006-01-02T15:04:05.999999Z07:00"))

		var known knownMinute // of the row before, in a log
		for range 6 {
			at = at.Add(time.Duration(rapid.Int64Range(0, 90e6).Draw(t, "step")) * time.Microsecond)
			text := at.Format(rapid.SampledFrom([]string{time.RFC3339, "2006-01-02 15:04:05.999999Z07:00"}).Draw(t, "form"))
			got, ok := known.parse([]byte(text), dayFirst, false)
			want, _ := parseDated([]byte(text), dayFirst, false)
			if !ok || got != want {
				t.Fatalf("%s: got %d, %t, want %d", text, got, ok, want)
			}
		}
	})
}

// FuzzClocks checks that both ways read any cell alike, in every dialect, and do not
// panic.
func FuzzClocks(f *testing.F) {
	for i, cell := range []string{"11:03:56.470", "03:56.5", "2026-05-03 11:03:56", "1985-04-12T23:20:50.52Z", "1.0 s", "1e3", "24:00:00", "03/05/2026 1:02:03"} {
		f.Add(cell, "on", "rec", byte(i))
	}
	f.Fuzz(func(t *testing.T, cell, value, word string, dialect byte) {
		log := []byte("Time,aux2\n11:03:56.470,1000\n" + cell + "," + value + "\n11:03:57.470," + value + "\n" + cell + ",1000\n")
		n := int(dialect)
		log = dress(log, delims[n%6], lineEnds[n/6%3], encodings[n/18%3])
		opts := Options{Spec: spec("", "aux2", ""), Lenient: true}
		if fold(word) != "" {
			opts.Spec.Words = []string{word}
		}
		first := read(log, opts, plainWay)
		for _, w := range ways[1:] {
			if d := first.differs(read(log, opts, w)); d != "" {
				t.Fatalf("read with %+v: %s", w, d)
			}
		}
	})
}
