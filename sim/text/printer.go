// Package text writes results as text to read: a heading, tables below it,
// findings with what to do. It computes nothing; its sentences are those of
// package tell.
package text

import (
	"io"
	"slices"
	"strings"
	"text/tabwriter"
	"unicode/utf8"
)

// Printer writes reports.
type Printer struct {
	out    io.Writer
	colour bool
}

// New returns a printer to out, optionally in colour.
func New(out io.Writer, colour bool) *Printer { return &Printer{out, colour} }

// Write writes text unchanged.
func (p *Printer) Write(text []byte) (int, error) { return p.out.Write(text) }

// Heading begins a section.
func (p *Printer) Heading(text string) { io.WriteString(p.out, p.paint(bold, text)+"\n") }

// The styles of the reports.
const (
	bold  = "1"
	alarm = "1;31"
)

// paint colours text if the printer uses colour.
func (p *Printer) paint(style, text string) string {
	if !p.colour {
		return text
	}
	return "\x1b[" + style + "m" + text + "\x1b[0m"
}

const (
	tableIndent = "  "
	betweenCols = 2 // spaces
)

// Table prints rows of tab-separated cells, indented and aligned.
func (p *Printer) Table(rows func(io.Writer)) {
	w := tabwriter.NewWriter(p.out, 0, 0, betweenCols, ' ', tabwriter.TabIndent)
	rows(indented{w})
	w.Flush()
}

// indented puts spaces before every row.
type indented struct{ w io.Writer }

func (i indented) Write(row []byte) (int, error) {
	if _, err := io.WriteString(i.w, tableIndent); err != nil {
		return 0, err
	}
	return i.w.Write(row)
}

// longTable prints a heading and n rows, with the same number of cells: for
// tables with a row per press, for which [Printer.Table] takes too long.
func (p *Printer) longTable(n int, rows func(*longTable)) {
	table := longTable{rows: n + 1}
	rows(&table)
	table.print(p.out)
}

// longTable collects the rows of a table.
type longTable struct {
	rows   int    // about how many there will be
	widths []int  // of the columns, in characters
	text   []byte // of all cells, one after the other
	cells  []tableCell
}

type tableCell struct{ end, width int } // end: in the text; width: in characters

func (l *longTable) row(cells ...string) {
	if l.widths == nil {
		const inRow = 72 // about so many bytes
		l.widths, l.cells, l.text = make([]int, len(cells)), make([]tableCell, 0, l.rows*len(cells)), make([]byte, 0, l.rows*inRow)
	}
	for i, cell := range cells {
		width := utf8.RuneCountInString(cell)
		l.widths[i] = max(l.widths[i], width)
		l.text = append(l.text, cell...)
		l.cells = append(l.cells, tableCell{len(l.text), width})
	}
}

func (l *longTable) print(out io.Writer) {
	var line []byte
	from := 0
	for row := range slices.Chunk(l.cells, max(1, len(l.widths))) {
		line = append(line[:0], tableIndent...)
		for i, cell := range row {
			if i > 0 {
				line = append(line, strings.Repeat(" ", l.widths[i-1]-row[i-1].width+betweenCols)...)
			}
			line = append(line, l.text[from:cell.end]...)
			from = cell.end
		}
		out.Write(append(line, '\n'))
	}
}

// onlyFirst names the first of several rows.
func onlyFirst(i int, text string) string {
	if i == 0 {
		return text
	}
	return ""
}
