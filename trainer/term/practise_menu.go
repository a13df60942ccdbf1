package term

import (
	"slices"
	"strconv"

	"flicktally/sim"
	"flicktally/trainer"
)

// menuPage lets the pilot choose a drill.
type menuPage struct {
	kinds    []trainer.Kind
	selected int
}

// openMenu shows the menu, with the drill to do next selected.
func (p *Practise) openMenu() {
	m := &menuPage{kinds: p.kinds()}
	m.selected = max(0, slices.Index(m.kinds, p.known.Past.Next()))
	if len(p.setup.Review) > 0 && p.done.Drills == 0 {
		m.selected = slices.Index(m.kinds, trainer.KindReview)
	}
	p.page = m
}

func (m *menuPage) key(p *Practise, e KeyEvent) bool {
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

func (*menuPage) moved(*Practise, sim.Micros, sim.PulseWidth) {}

func (*menuPage) tick(*Practise) {}

func (*menuPage) wake(*Practise) sim.Micros { return sim.Never }

func (*menuPage) help(*Practise) []helpLine {
	return []helpLine{
		{[]string{"up", "down"}, "choose a drill"},
		{[]string{"enter"}, "begin it"},
		{[]string{"1", "to", "9"}, "begin that one"},
		{[]string{"m"}, "measure the input anew"},
		{[]string{"q"}, "quit"},
	}
}
