package practice

import (
	"slices"
	"strconv"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// menuPage lets the pilot choose a drill.
type menuPage struct {
	kinds    []trainer.Kind
	selected int
}

// openMenu shows the menu, with the drill to do next selected.
func (p *Screen) openMenu() {
	m := &menuPage{kinds: p.kinds()}
	m.selected = max(0, slices.Index(m.kinds, p.known.Past.Next()))
	if len(p.setup.Review) > 0 && p.done.Drills == 0 {
		m.selected = slices.Index(m.kinds, trainer.KindReview)
	}
	p.page = m
}

func (m *menuPage) key(p *Screen, e term.KeyEvent) bool {
	switch e.Name {
	case "q":
		return false
	case "up":
		m.selected = max(0, m.selected-1)
	case "down":
		m.selected = min(len(m.kinds)-1, m.selected+1)
	case "enter":
		p.startDrill(m.kinds[m.selected])
	case "m":
		p.page = &measurePage{}
	default:
		if n, err := strconv.Atoi(e.Name); err == nil && n >= 1 && n <= len(m.kinds) {
			p.startDrill(m.kinds[n-1])
		}
	}
	return true
}

func (*menuPage) moved(*Screen, sim.Micros, sim.PulseWidth) {}

func (*menuPage) tick(*Screen) {}

func (*menuPage) wake(*Screen) sim.Micros { return sim.Never }

func (*menuPage) help(*Screen) []term.HelpLine {
	return []term.HelpLine{
		{Keys: []string{"up", "down"}, Does: "choose a drill"},
		{Keys: []string{"enter"}, Does: "begin it"},
		{Keys: []string{"1", "to", "9"}, Does: "begin that one"},
		{Keys: []string{"m"}, Does: "measure the input anew"},
		{Keys: []string{"q"}, Does: "quit"},
	}
}
