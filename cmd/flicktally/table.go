package main

import (
	"io"
	"strings"
	"text/tabwriter"
	"unicode/utf8"
)

const (
	tableIndent = "  "
	betweenCols = 2 // spaces
)

// table prints rows of tab-separated cells, indented and aligned.
func (t *talk) table(rows func(io.Writer)) {
	w := tabwriter.NewWriter(t.out, 0, 0, betweenCols, ' ', tabwriter.TabIndent)
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
func (t *talk) longTable(rows func(*longTable)) {
	var table longTable
	rows(&table)
	table.out = t.out
	rows(&table)
}

// longTable takes the rows of a table. Its row is no func, and takes no
// formats: those would leave more behind for every row than the row is long.
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
