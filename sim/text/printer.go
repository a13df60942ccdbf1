// Package text writes results as reports in plain text: headings, tables,
// findings with what to do. It computes nothing of the model; its sentences are
// those of package tell.
package text

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
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

// Heading starts a section.
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

// textWidth is the width of text, in characters.
const textWidth = 80

const tableIndent = "  "

// Table prints rows of tab-separated cells, indented and aligned.
func (p *Printer) Table(rows func(io.Writer)) {
	w := tabwriter.NewWriter(p.out, 0, 0, len(tableIndent), ' ', tabwriter.TabIndent)
	rows(indented{w})
	w.Flush()
}

// indented puts spaces before every row; each Write is a row.
type indented struct{ w io.Writer }

func (i indented) Write(row []byte) (int, error) {
	if _, err := io.WriteString(i.w, tableIndent); err != nil {
		return 0, err
	}
	return i.w.Write(row)
}

// row writes the cells of a row.
func row(w io.Writer, cells ...string) { fmt.Fprintln(w, strings.Join(cells, "\t")) }

// onlyFirst returns the text for the first of several rows, "" for the others.
func onlyFirst(i int, text string) string {
	if i == 0 {
		return text
	}
	return ""
}

// listed writes lines as rows, the first of them with a name.
func listed(w io.Writer, name string, lines []string) {
	for i, line := range lines {
		row(w, onlyFirst(i, name), line)
	}
}
