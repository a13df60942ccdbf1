package history

import (
	"bytes"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"slices"
	"strconv"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// sumMark precedes the check sum, the last field of a line.
const sumMark = `,"crc32":"`

// encode returns a record as a line, with its check sum and line feed.
func encode(r record) []byte {
	line, err := json.Marshal(r)
	if err != nil {
		panic(fmt.Sprintf("internal error: record cannot be written: %v", err))
	}
	line = line[:len(line)-1] // the closing brace
	return fmt.Appendf(line, "%s%08x\"}\n", sumMark, crc32.ChecksumIEEE(line))
}

// decode reads a line without its line feed.
func decode(line []byte) (record, error) {
	at := bytes.LastIndex(line, []byte(sumMark))
	if at < 0 {
		return record{}, fmt.Errorf("found no check sum at its end")
	}
	text, ok := bytes.CutSuffix(line[at+len(sumMark):], []byte(`"}`))
	if !ok {
		return record{}, fmt.Errorf("found no end after the check sum")
	}
	want, err := strconv.ParseUint(string(text), 16, 32)
	if err != nil || len(text) != 8 {
		return record{}, fmt.Errorf("found check sum %s, want eight hexadecimal digits", excerpt.Quote(text))
	}
	if sum := crc32.ChecksumIEEE(line[:at]); sum != uint32(want) {
		return record{}, fmt.Errorf("found check sum %s, want %08x: the line has been changed", text, sum)
	}
	var r record
	if err := json.Unmarshal(line, &r); err != nil {
		return record{}, fmt.Errorf("found a line that is no record: %w", err)
	}
	if r.Schema != schema {
		return record{}, fmt.Errorf("found schema %d, want %d: another version of the program wrote it", r.Schema, schema)
	}
	return r, r.complete()
}

// complete checks that the record has the part for its type.
func (r record) complete() error {
	has := map[lineType]bool{
		typeDrill: r.Begin != nil, typeRun: r.Run != nil, typeFlick: r.Flick != nil, typeTrial: r.Trial != nil,
	}
	if !has[r.Type] {
		return fmt.Errorf("found type %s without its part", excerpt.Quote(string(r.Type)))
	}
	switch {
	case r.Type == typeDrill && !r.Begin.usable():
		return fmt.Errorf("found a drill with settings that no rig has")
	case r.Type == typeRun && !inDrill(r.Run.From), r.Type == typeFlick && !r.Flick.inDrill():
		return fmt.Errorf("found a %s at a time beyond any drill", r.Type)
	}
	return nil
}

// inDrill reports whether a drill can last until a time.
func inDrill(at sim.Micros) bool { return at >= 0 && at <= sim.MaxDuration }

func (p *flickPart) inDrill() bool {
	return !slices.ContainsFunc(p.Moves, func(m movePart) bool { return !inDrill(m.At) })
}
