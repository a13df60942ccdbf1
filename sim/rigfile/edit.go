package rigfile

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"flicktally/sim"
)

// Edit returns the rig file with the given keys, such as "camera.min_press", set
// to their values in rig. Comments, order, spaces and line ends stay as they are.
// A new key goes to the end of its table, a new table to the end of the file. It
// is an error if [Parse] refuses the file, before or after the change. An unknown
// key is a panic.
func Edit(data []byte, name string, rig sim.Rig, keys ...string) ([]byte, error) {
	if _, err := Parse(data, name); err != nil {
		return nil, err
	}
	text, hasMark := bytes.CutPrefix(data, []byte(byteOrderMark))
	for _, key := range keys {
		f, known := fields(&rig).find(key)
		if !known {
			panic(fmt.Sprintf("internal error: no key %q in a rig file", key))
		}
		doc, wrong := newDocument(source{name, text})
		if wrong != nil {
			panic("internal error: edited into " + wrong.text)
		}
		text = doc.set(f)
	}
	if hasMark {
		text = slices.Concat([]byte(byteOrderMark), text)
	}
	if _, err := Parse(text, name); err != nil {
		return nil, fmt.Errorf("cannot change %s: %w", strings.Join(keys, ", "), err)
	}
	return text, nil
}

// EditMeasured is [Edit] for measured values. It also updates the remark of
// [Default] beside [camera] that says which values are measured. Other remarks
// stay.
func EditMeasured(data []byte, name string, rig sim.Rig, keys ...string) ([]byte, error) {
	text, err := Edit(data, name, rig, keys...)
	if err != nil {
		return nil, err
	}
	measured := slices.Concat(keys, remarked(text))
	for _, said := range measurable {
		text = bytes.Replace(text, []byte(remark(said)), []byte(remark(measured)), 1)
	}
	return text, nil
}

// measurable lists the sets of keys that trials at the bench can determine.
var measurable = [][]string{{}, {"camera.min_press"}, {"camera.long_press"}, {"camera.min_press", "camera.long_press"}}

// remarked returns the keys that a rig file calls measured.
func remarked(text []byte) (measured []string) {
	for _, said := range measurable {
		if bytes.Contains(text, []byte(remark(said))) {
			measured = append(measured, said...)
		}
	}
	return measured
}

// remark returns the remark beside [camera] if these keys are measured.
func remark(measured []string) string {
	least, long := slices.Contains(measured, "camera.min_press"), slices.Contains(measured, "camera.long_press")
	switch {
	case least && long:
		return "# min_press and long_press are measured; the others are EXAMPLES"
	case least:
		return "# min_press is measured; the others are EXAMPLES"
	case long:
		return "# long_press is measured; the others are EXAMPLES"
	default:
		return "# EXAMPLES, until you have measured your own camera"
	}
}

// set returns the text of the document with the field's value set.
func (d *document) set(f field) []byte {
	text, table, written := d.source.data, f.table(), f.value.write()
	line := f.name() + " = " + written
	if at, given := d.places[f.key]; given {
		return splice(text, at.start, at.end, written)
	}
	if table == "" {
		return splice(text, 0, 0, line+d.lineEnd())
	}
	last, given := d.lastOf(table)
	switch {
	case !given:
		return d.appendTable(table, line)
	case last.path == table && !last.isHeader():
		return d.insertInline(d.places[table], line)
	case last.table != table:
		return d.insertAfter(last, table+"."+line)
	default:
		return d.insertAfter(last, line)
	}
}

// lastOf returns the last expression that adds to a table: its header, a key
// below that, a dotted key that starts with the table's name, or the inline table.
func (d *document) lastOf(table string) (last expression, given bool) {
	for _, e := range d.expressions {
		if e.table == table || e.path == table || strings.HasPrefix(e.path, table+".") {
			last, given = e, true
		}
	}
	return last, given
}

// appendTable adds a table with one key at the end of the document.
func (d *document) appendTable(table, line string) []byte {
	text, end := d.source.data, d.lineEnd()
	var before string
	if len(text) > 0 {
		before = end
		if !bytes.HasSuffix(text, []byte("\n")) {
			before += end
		}
	}
	return splice(text, len(text), len(text), before+"["+table+"]"+end+line+end)
}

// insertInline adds a key at the front of an inline table.
func (d *document) insertInline(braces place, line string) []byte {
	front, after := braces.start+1, ","
	if d.skip(front, " \t\r\n") == braces.end-1 {
		after = " "
	}
	return splice(d.source.data, front, front, " "+line+after)
}

// insertAfter adds a line below an expression, with the same indentation.
func (d *document) insertAfter(e expression, line string) []byte {
	text, end := d.source.data, d.lineEnd()
	start := bytes.LastIndexByte(text[:e.start], '\n') + 1
	line = string(text[start:d.skip(start, " \t")]) + line + end
	if next := bytes.IndexByte(text[e.end:], '\n'); next >= 0 {
		return splice(text, e.end+next+1, e.end+next+1, line)
	}
	return splice(text, len(text), len(text), end+line)
}

// lineEnd returns the line ending of this document.
func (d *document) lineEnd() string {
	first, _, _ := bytes.Cut(d.source.data, []byte("\n"))
	if bytes.HasSuffix(first, []byte("\r")) {
		return "\r\n"
	}
	return "\n"
}

// splice returns text with the bytes from start to end replaced.
func splice(text []byte, start, end int, replacement string) []byte {
	return slices.Concat(text[:start], []byte(replacement), text[end:])
}
