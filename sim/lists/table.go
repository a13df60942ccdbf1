package lists

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"flicktally/sim/excerpt"
)

// maxSize is the most bytes of a list. Reading one uses at most 32 MiB.
const maxSize = 1 << 20

// table is a list as it is in the file.
type table struct {
	file   string
	lines  [][]byte
	rows   []row
	places map[string]int    // of the columns, by name
	units  map[string]string // in the headers of the columns, by name
	comma  rune
}

// row is a row of a table.
type row struct {
	fields  []string
	line    int
	columns []int // where each field starts
}

// column is a column that a list may have.
type column struct {
	name     string
	headers  []string // other names in a header
	required bool
	isValue  func(field string) bool // reports whether a field is a value, not a header
}

// readTable reads a list and finds its columns.
func readTable(r io.Reader, file string, columns []column) (*table, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxSize+1))
	if err != nil {
		return nil, fmt.Errorf("%s:%d: %w", excerpt.Printable(file), 1+bytes.Count(data, []byte("\n")), err)
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	t := &table{file: file, lines: bytes.Split(data, []byte("\n")), comma: commaOf(data)}
	if len(data) > maxSize {
		return nil, t.errorAt(1, 1, fmt.Sprintf("more than %d KiB", maxSize>>10), "a short list")
	}
	if err := t.readRows(data); err != nil {
		return nil, err
	}
	return t, t.findColumns(columns)
}

// commaOf detects the separator from the first line that is not a comment.
func commaOf(data []byte) rune {
	for line := range bytes.Lines(data) {
		if line = bytes.TrimSpace(line); len(line) == 0 || line[0] == '#' {
			continue
		}
		for _, comma := range ";\t" {
			if bytes.ContainsRune(line, comma) {
				return comma
			}
		}
		break
	}
	return ','
}

func (t *table) readRows(data []byte) error {
	reader := csv.NewReader(bytes.NewReader(data))
	reader.Comma, reader.Comment, reader.FieldsPerRecord = t.comma, '#', -1
	for {
		fields, err := reader.Read()
		if err == io.EOF {
			return nil
		}
		var wrong *csv.ParseError
		if errors.As(err, &wrong) {
			return t.errorAt(wrong.Line, max(1, wrong.Column), "a quote that is out of place", `fields in plain text or in "quotes" (RFC 4180)`)
		}
		if err != nil {
			return err
		}
		r := row{fields: fields}
		for i, field := range fields {
			line, column := reader.FieldPos(i)
			if i == 0 {
				r.line = line
			}
			r.columns = append(r.columns, column+len(field)-len(strings.TrimLeft(field, " \t")))
			fields[i] = strings.TrimSpace(field)
		}
		if strings.Join(fields, "") != "" {
			t.rows = append(t.rows, r)
		}
	}
}

// findColumns reads the header, or without one takes the columns in their
// order.
func (t *table) findColumns(columns []column) error {
	t.places, t.units = map[string]int{}, map[string]string{}
	if len(t.rows) == 0 {
		return nil
	}
	first := t.rows[0]
	if columns[0].isValue(t.decimal(first.fields[0])) {
		for i, c := range columns {
			t.places[c.name] = i
		}
		return nil
	}
	t.rows = t.rows[1:]
	var names []string
	for _, c := range columns {
		names = append(names, c.name)
	}
	for i, header := range first.fields {
		header, unit := splitHeader(header)
		k := slices.IndexFunc(columns, func(c column) bool { return c.name == header || slices.Contains(c.headers, header) })
		if k < 0 {
			continue
		}
		if _, twice := t.places[names[k]]; twice {
			return t.errorIn(first, i, "a second column "+names[k], "one")
		}
		t.places[names[k]], t.units[names[k]] = i, unit
	}
	for _, c := range columns {
		if _, ok := t.places[c.name]; c.required && !ok {
			return t.errorIn(first, 0, "a header without "+c.name, "the headers "+strings.Join(names, ", "))
		}
	}
	return nil
}

// splitHeader splits the unit from a header: "hold_ms", "hold (ms)", "hold [ms]".
func splitHeader(header string) (name, unit string) {
	name = strings.ToLower(header)
	if at := strings.LastIndexAny(name, "_(["); at > 0 {
		if u := strings.TrimRight(name[at+1:], ")] "); u == "us" || u == "ms" || u == "s" {
			return strings.TrimSpace(name[:at]), u
		}
	}
	return name, ""
}

// field returns a field of a row, "" if the row or the table has none.
func (t *table) field(r row, name string) string {
	if i, ok := t.places[name]; ok && i < len(r.fields) {
		return r.fields[i]
	}
	return ""
}

// decimal turns a decimal comma into a point, if commas do not separate fields.
func (t *table) decimal(field string) string {
	if t.comma == ',' {
		return field
	}
	return strings.Replace(field, ",", ".", 1)
}

// errorOf returns an error about a field of a row.
func (t *table) errorOf(r row, name, want string) error {
	field := t.field(r, name)
	if field == "" {
		return t.errorIn(r, len(r.fields)-1, "no "+name, want)
	}
	return t.errorIn(r, t.places[name], excerpt.Quote(field), want)
}

func (t *table) errorIn(r row, place int, found, want string) error {
	return t.errorAt(r.line, r.columns[place], found, want)
}

func (t *table) errorAt(line, column int, found, want string) error {
	text := ""
	if line <= len(t.lines) {
		text = strings.TrimRight(string(t.lines[line-1]), "\r")
	}
	column = min(column, len(text)+1) // that of an unclosed quote is after the line
	return &excerpt.SyntaxError{File: t.file, Line: line, Column: column, Found: found, Want: want, Text: text, At: column - 1}
}
