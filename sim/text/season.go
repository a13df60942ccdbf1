package text

import (
	"fmt"
	"io"

	"flicktally/sim/season"
)

// Season writes the report of a season.
func (p *Printer) Season(s *season.Season) {
	p.Heading(s.Title())
	fmt.Fprintln(p.out, s.Verdict())
	for _, part := range s.Sections() {
		fmt.Fprintln(p.out)
		p.Heading(part.Heading)
		for _, line := range part.Lines {
			fmt.Fprintln(p.out, tableIndent+line)
		}
		if part.Rows == nil {
			continue
		}
		p.Table(func(w io.Writer) {
			row(w, part.Columns...)
			for _, cells := range part.Rows {
				row(w, cells...)
			}
		})
	}
}
