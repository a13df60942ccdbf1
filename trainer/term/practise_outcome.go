package term

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/tell"
	"flicktally/trainer"
)

// outcomePage tells what a drill came to, and what to do next.
type outcomePage struct {
	kind  trainer.Kind
	next  trainer.Kind
	lines []textLine // the most important first
}

// showOutcome ends a drill; one in which nothing was done leads to the menu.
func (p *Practise) showOutcome(d *trainer.Drill) {
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
		o.say(Plain, "left before its first trial was over; the flicks are kept")
	case 1:
		o.tellKinds(s, d)
	}
	for _, change := range s.Changes(before.Last[o.kind], d.Setup().Resolution) {
		o.say(Plain, "since last time: %s", change)
	}
	o.say(Right, "next: %s. %s", o.next.Title(), o.next.Rule())
	if len(s.Kinds) > 1 {
		o.tellKinds(s, d)
	}
	if s.Holds.N > 1 {
		slips := ""
		if n := s.Slips.Hits; n > 0 {
			slips = fmt.Sprintf(" (%s left out)", tell.Counted(n, "slip", "slips"))
		}
		o.say(Plain, "hold %.0f ms, spread %.0f ms%s; %s toggled", s.Holds.Mean/1e3, s.Holds.SD/1e3, slips, countText(s.Toggled))
	}
	if first := s.Cold; first.Trials > 0 {
		all := before.FirstFlicks.Plus(first)
		o.say(Plain, "the day's first flick, cold: %s; on %d of %d days it did",
			map[bool]string{true: "it toggled", false: "it did not toggle"}[first.Hits > 0], all.Hits, all.Trials)
	}
}

// tellKinds says how right the trials of each kind were, and how far it has got.
func (o *outcomePage) tellKinds(s trainer.Score, d *trainer.Drill) {
	past := d.Past()
	for _, k := range s.Kinds {
		reliability := past.Reliability(k.Kind)
		o.say(Strong, "%s: %s right", k.Kind.Title(), countText(k.Right))
		o.say(Dim, "level %d; %s", past.Level(k.Kind), reliability.Words())
	}
}

func (o *outcomePage) say(role Role, format string, args ...any) {
	o.lines = append(o.lines, textLine{fmt.Sprintf(format, args...), role})
}

func (o *outcomePage) key(p *Practise, e KeyEvent) bool {
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

func (*outcomePage) moved(*Practise, sim.Micros, sim.PulseWidth) {}

func (*outcomePage) tick(*Practise) {}

func (*outcomePage) wake(*Practise) sim.Micros { return sim.Never }

func (*outcomePage) help(*Practise) []helpLine {
	return []helpLine{
		{[]string{"enter"}, "begin the drill to do next"},
		{[]string{"a"}, "do the same one again"},
		{[]string{"m"}, "menu"},
		{[]string{"q"}, "quit"},
	}
}
