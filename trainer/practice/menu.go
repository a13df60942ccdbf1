package practice

import (
	"slices"
	"strconv"

	"flicktally/trainer"
	"flicktally/trainer/term"
)

// menuPage lets the pilot choose a drill.
type menuPage struct {
	waiting
	plan     []trainer.Kind // the rest of today's ten minutes
	kinds    []trainer.Kind // the entries: today first, if there is a plan
	selected int
}

// today is the menu entry for the next drill of the day's plan.
const today trainer.Kind = ""

// openMenu shows the menu, with today's plan selected, or the drill to do next once
// the plan is done.
func (p *Screen) openMenu() {
	m := &menuPage{plan: p.known.Plan(), kinds: p.kinds()}
	m.selected = max(0, slices.Index(m.kinds, p.known.Past.Next()))
	if len(m.plan) > 0 {
		m.kinds, m.selected = slices.Insert(m.kinds, 0, today), 0
	}
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
		kind := m.kinds[m.selected]
		if kind == today {
			kind = m.plan[0]
		}
		p.startDrill(kind)
	case "m":
		p.page = &measurePage{}
	default:
		n, err := strconv.Atoi(e.Name)
		if i := n - 1 + len(m.kinds) - len(p.kinds()); err == nil && n >= 1 && i < len(m.kinds) {
			p.startDrill(m.kinds[i])
		}
	}
	return true
}

func (m *menuPage) rule() string {
	if kind := m.kinds[m.selected]; kind != today {
		return kind.Rule()
	}
	return trainer.Titles(m.plan)
}

func (*menuPage) help(*Screen) []term.HelpLine {
	return []term.HelpLine{
		{Keys: []string{"up", "down"}, Does: "choose today's plan or a drill"},
		{Keys: []string{"enter"}, Does: "start it"},
		{Keys: []string{"1", "to", "9"}, Does: "start that one"},
		{Keys: []string{"m"}, Does: "measure the input again"},
		{Keys: []string{"q"}, Does: "quit"},
	}
}
