// Package text writes results as text to read: a heading, tables below it,
// findings with what to do. It computes nothing and writes to what it is given;
// the sentences in it are those of package tell.
package text

import (
	"io"
	"strings"
	"text/tabwriter"
	"unicode/utf8"
)

// Printer writes reports.
type Printer struct {
	out    io.Writer
	colour bool
}

// New returns a printer to out, in colour where that takes it.
func New(out io.Writer, colour bool) *Printer { return &Printer{out, colour} }

// Write writes as it is.
func (p *Printer) Write(text []byte) (int, error) { return p.out.Write(text) }

// Heading begins a section.
func (p *Printer) Heading(text string) { io.WriteString(p.out, p.paint(bold, text)+"\n") }

// The styles of the reports.
const (
	bold  = "1"
	alarm = "1;31"
)

// paint colours text where the output takes colour.
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

// longTable prints a table of equally many cells a row, and of as many rows as
// there are presses in a log. It asks for the rows twice, the first time to
// measure them, so that it need not hold them.
func (p *Printer) longTable(rows func(*longTable)) {
	var table longTable
	rows(&table)
	table.out = p.out
	rows(&table)
}

// longTable takes the rows of a table. Plain strings avoid an allocation per row.
type longTable struct {
	widths []int     // of the columns, in characters
	out    io.Writer // nil while the columns are measured
	line   []byte    // the last one, to be used again
}

func (l *longTable) row(cells ...string) {
	if l.out == nil {
		l.measure(cells)
	} else {
		l.print(cells)
	}
}

func (l *longTable) measure(cells []string) {
	if l.widths == nil {
		l.widths = make([]int, len(cells))
	}
	for i, cell := range cells {
		l.widths[i] = max(l.widths[i], utf8.RuneCountInString(cell))
	}
}

func (l *longTable) print(cells []string) {
	l.line = l.line[:0]
	between := tableIndent
	for i, cell := range cells {
		l.line = append(append(l.line, between...), cell...)
		between = strings.Repeat(" ", l.widths[i]-utf8.RuneCountInString(cell)+betweenCols)
	}
	l.line = append(l.line, '\n')
	l.out.Write(l.line)
}

// onlyFirst names the first of several rows.
func onlyFirst(i int, text string) string {
	if i == 0 {
		return text
	}
	return ""
}
