package lanes

import (
	"flicktally/sim"
	"flicktally/sim/tell"
)

// Mark is a finding with its letter, which is the same in every view. A cause
// that recurs is one finding, so it has one letter and a span.
type Mark struct {
	tell.Finding
	Letter string
	Span   sim.Span
}

// Look returns how the mark is drawn.
func (m Mark) Look() Look {
	if m.Costs {
		return Lost
	}
	return finding
}

// Marks gives findings their letters.
func Marks(findings []tell.Finding) []Mark {
	marks := make([]Mark, len(findings))
	for i, f := range findings {
		marks[i] = Mark{Finding: f, Letter: letter(i), Span: sim.Span{From: f.At, To: f.To}}
	}
	return marks
}

// letter returns the letter of the finding at an index: A to Z, then AA, AB and
// so on.
func letter(i int) string {
	text := ""
	for i++; i > 0; i = (i - 1) / 26 {
		text = string(rune('A'+(i-1)%26)) + text
	}
	return text
}

func findingLane(marks []Mark) Lane {
	l := Lane{Name: "findings", Kind: Findings}
	for _, m := range marks {
		l.Spans = append(l.Spans, m.Span)
	}
	l.label = func(i int) Label {
		m := marks[i]
		return Label{Look: m.Look(), Long: m.Letter, Short: m.Letter, Title: "finding " + m.Letter + ": " + m.Text}
	}
	return l
}
