package practice

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/tell"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// outcomePage tells what a drill came to, and what to do next.
type outcomePage struct {
	kind  trainer.Kind
	next  trainer.Kind
	lines []term.TextLine // the most important first
}

// showOutcome ends a drill; one in which nothing was done leads to the menu.
func (p *Screen) showOutcome(d *trainer.Drill) {
	score := trainer.NewScore(d.Flicks(), d.Results())
	p.done.Flicks += len(d.Flicks())
	if len(d.Flicks())+len(d.Results()) == 0 {
		p.openMenu()
		return
	}
	p.done.Drills++
	p.done.Trials += len(d.Results())
	past := d.Past()
	o := &outcomePage{kind: d.Setup().Kind, next: past.Next()}
	p.done.Next = o.next
	o.tell(score, p.known, d)
	p.page = o
	p.look()
}

// tell says in lines what the drill came to, what has changed, and what to do
// next. Where it was made of several kinds of trials, the last two come first.
func (o *outcomePage) tell(s trainer.Score, before trainer.Known, d *trainer.Drill) {
	switch len(s.Kinds) {
	case 0:
		o.say(term.Plain, "left before its first trial was over; the flicks are kept")
	case 1:
		o.tellKinds(s, d)
	}
	for _, change := range s.Changes(before.Last[o.kind], d.Setup().Resolution) {
		o.say(term.Plain, "since last time: %s", change)
	}
	o.say(term.Right, "next: %s. %s", o.next.Title(), o.next.Rule())
	if len(s.Kinds) > 1 {
		o.tellKinds(s, d)
	}
	if s.Holds.N > 1 {
		slips := ""
		if n := s.Slips.Hits; n > 0 {
			slips = fmt.Sprintf(" (%s left out)", tell.Counted(n, "slip", "slips"))
		}
		o.say(term.Plain, "hold %.0f ms, spread %.0f ms%s; %s toggled", s.Holds.Mean/1e3, s.Holds.SD/1e3, slips, countText(s.Toggled))
	}
	if first := s.Cold; first.Trials > 0 {
		all := before.FirstFlicks.Plus(first)
		o.say(term.Plain, "the day's first flick, cold: %s; on %d of %d days it did",
			map[bool]string{true: "it toggled", false: "it did not toggle"}[first.Hits > 0], all.Hits, all.Trials)
	}
}

// tellKinds says how right the trials of each kind were, and how far it has got.
func (o *outcomePage) tellKinds(s trainer.Score, d *trainer.Drill) {
	past := d.Past()
	for _, k := range s.Kinds {
		reliability := past.Reliability(k.Kind)
		o.say(term.Strong, "%s: %s right", k.Kind.Title(), countText(k.Right))
		o.say(term.Dim, "level %d; %s", past.Level(k.Kind), reliability.Words())
	}
}

func (o *outcomePage) say(role term.Role, format string, args ...any) {
	o.lines = append(o.lines, term.TextLine{Text: fmt.Sprintf(format, args...), Role: role})
}

func (o *outcomePage) key(p *Screen, e term.KeyEvent) bool {
	switch e.Name {
	case "q":
		return false
	case "enter":
		p.startDrill(o.next)
	case "a":
		p.startDrill(o.kind)
	case "m":
		p.openMenu()
	}
	return true
}

func (*outcomePage) moved(*Screen, sim.Micros, sim.PulseWidth) {}

func (*outcomePage) tick(*Screen) {}

func (*outcomePage) wake(*Screen) sim.Micros { return sim.Never }

func (*outcomePage) help(*Screen) []term.HelpLine {
	return []term.HelpLine{
		{Keys: []string{"enter"}, Does: "begin the drill to do next"},
		{Keys: []string{"a"}, Does: "do the same one again"},
		{Keys: []string{"m"}, Does: "menu"},
		{Keys: []string{"q"}, Does: "quit"},
	}
}
