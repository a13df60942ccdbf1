package practice

import (
	"fmt"
	"time"

	"flicktally/sim/stat"
	"flicktally/sim/tell"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

func (m *menuPage) draw(p *Screen, c *term.Canvas) {
	term.DrawFrame(c, "Practise "+p.setup.Rig.Name, p.footer("enter start, q quit"))
	below := 3 // rows under the list
	if c.Height >= 20 {
		below = 6
	}
	list := c.Area(0, 1, c.Width, c.Height-1-below)
	spaced := list.Height > 2*len(m.kinds)
	first := max(0, m.selected-list.Height+1)
	for i, kind := range m.kinds[first:] {
		row := i
		if spaced {
			row = 2*i + 1
		}
		m.drawDrill(p, list.Area(0, row, c.Width, 1), first+i, kind)
	}
	kind := m.kinds[m.selected]
	about := c.Area(0, c.Height-below, c.Width, below-1)
	about.Wrapped(m.rule(), term.Strong)
	if below > 3 {
		if kind != today {
			about.Area(0, 2, c.Width, 1).Fitted(term.Plain, p.progressTexts(kind)...)
		}
		about.Area(0, 3, c.Width, 2).Wrapped(p.resolutionText(), term.Dim)
	}
}

// drawDrill draws a line of the menu: a drill, its progress, and when it was last
// done.
func (m *menuPage) drawDrill(p *Screen, c *term.Canvas, i int, kind trainer.Kind) {
	role := term.Plain
	if i == m.selected {
		c.Text(0, 0, c.Glyphs.Selected, term.Pointer)
		role = term.Strong
	}
	if kind == today {
		c.Text(2, 0, "Today's ten minutes", role)
		c.Text(menuNames, 0, tell.Counted(len(m.plan), "drill left", "drills left"), term.Dim)
		return
	}
	n := i + 1 - (len(m.kinds) - len(p.kinds()))
	c.Text(2, 0, fmt.Sprintf("%d  %s", n, kind.Title()), role)
	if kind == trainer.KindMixed || kind == trainer.KindReview {
		return // consists of trials of the others
	}
	got := c.Area(menuNames, 0, c.Width, 1)
	latest := p.known.Past.Latest(kind)
	if latest.IsZero() {
		got.Text(0, 0, p.known.Past.Reliability(kind).State(), term.Dim)
		return
	}
	state := fmt.Sprintf("%-8s ", p.known.Past.Reliability(kind).State())
	got.Fitted(term.Dim, state+latest.Format(time.DateOnly), state+latest.Format("2 Jan"))
}

// menuNames is the column after the names of the drills.
const menuNames = 24

// progressTexts give the progress of a drill, in several lengths.
func (p *Screen) progressTexts(kind trainer.Kind) []string {
	reliability := p.known.Past.Reliability(kind)
	if reliability.All.Trials == 0 {
		return []string{reliability.Words(), ""}
	}
	all := reliability.All
	text := fmt.Sprintf("level %d, %.0f %% (%s) right", p.known.Past.Level(kind), 100*all.Value(), intervalText(all))
	return []string{text + "; " + reliability.Words(), text}
}

// countText writes "18 of 20 (70 to 97 %)", with the interval of the chance.
func countText(r stat.Rate) string {
	return fmt.Sprintf("%d of %d (%s)", r.Hits, r.Trials, intervalText(r))
}

func intervalText(r stat.Rate) string {
	i := r.Wilson(trainer.Confidence)
	return fmt.Sprintf("%.0f to %.0f %%", 100*i.Low, 100*i.High)
}
