package practice

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/tell"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// outcomePage shows the results of a drill, what has changed, and what to do
// next.
type outcomePage struct {
	waiting
	kind  trainer.Kind
	next  trainer.Kind
	plan  []trainer.Kind // the rest of today's ten minutes
	lines []outcomeLine
}

// outcomeLine is one result with its explanation.
type outcomeLine struct {
	term.TextLine
	why  string // shown if there is room
	ends bool   // comes last, and is never left out
}

// showOutcome ends a drill, and shows its results, or the menu if there are none.
func (p *Screen) showOutcome(d *trainer.Drill) {
	score := trainer.NewScore(d.Flicks(), d.Results())
	p.done.Flicks += len(d.Flicks())
	if len(d.Flicks())+len(d.Results()) == 0 {
		p.openMenu()
		return
	}
	p.done.Drills++
	p.done.Trials += len(d.Results())
	before, past := p.known, d.Past()
	p.readNotebook()
	o := &outcomePage{kind: d.Setup().Kind, next: past.Next(), plan: p.known.Plan()}
	if len(o.plan) > 0 {
		o.next = o.plan[0]
	}
	p.done.Next = o.next
	o.write(score, before, d)
	p.page = o
}

// write writes the results of the drill, what has changed, and what to do next.
func (o *outcomePage) write(s trainer.Score, before trainer.Known, d *trainer.Drill) {
	if len(d.Results()) == 0 {
		o.say(term.Plain, "", "ended before the first trial was over; the flicks are kept")
	}
	for _, k := range s.Kinds {
		o.writeKind(k, d.Past())
	}
	if s.Holds.N > 1 {
		o.writeHolds(s, d)
	}
	if first := s.Cold; first.Trials > 0 {
		all := before.FirstFlicks.Plus(first)
		o.say(term.Plain, "in flight, the first flick is cold too", "the day's first flick, cold: %s; so far it has toggled on %d of %s",
			map[bool]string{true: "it toggled", false: "it did not toggle"}[first.Hits > 0], all.Hits, tell.Counted(all.Trials, "day", "days"))
	}
	for _, change := range s.Changes(before.Last[o.kind], d.Setup().Resolution) {
		o.end(term.Plain, "since last time: "+change)
	}
	left := ""
	if n := len(o.plan); n > 0 {
		left = fmt.Sprintf(" (%s left today)", tell.Counted(n, "drill", "drills"))
	}
	o.end(term.Right, fmt.Sprintf("next: %s%s. %s", o.next.Title(), left, o.next.Rule()))
}

func (o *outcomePage) writeKind(k trainer.KindScore, past trainer.Past) {
	reliability := past.Reliability(k.Kind)
	o.say(term.Strong, "in brackets: the range that contains your true rate 19 times in 20", "%s: %s right", k.Kind.Title(), countText(k.Right))
	o.say(term.Plain, "a level only narrows the goal; what counts as right never changes", "level %d", past.Level(k.Kind))
	o.say(term.Plain, "a test over all trials in order: it distinguishes 99 % right from 90 %", "%s", reliability.Words())
}

func (o *outcomePage) writeHolds(s trainer.Score, d *trainer.Drill) {
	slips := ""
	if n := s.Slips.Hits; n > 0 {
		slips = fmt.Sprintf(" (%s left out)", tell.Counted(n, "slip", "slips"))
	}
	why := "spread: two holds in three are this close to the mean"
	if resolution := d.Setup().Resolution; resolution > 0 {
		why += "; input resolution " + resolution.Rounded()
	}
	o.say(term.Plain, why, "hold %s, spread %s%s", sim.Micros(s.Holds.Mean).Rounded(), sim.Micros(s.Holds.SD).Rounded(), slips)
	o.say(term.Plain, "all flicks of the drill, whatever their task", "flicks that toggled: %s", countText(s.Toggled))
}

func (o *outcomePage) say(role term.Role, why, format string, args ...any) {
	o.lines = append(o.lines, outcomeLine{term.TextLine{Text: fmt.Sprintf(format, args...), Role: role}, why, false})
}

func (o *outcomePage) end(role term.Role, text string) {
	o.lines = append(o.lines, outcomeLine{term.TextLine{Text: text, Role: role}, "", true})
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

func (*outcomePage) help(*Screen) []term.HelpLine {
	return []term.HelpLine{
		{Keys: []string{"enter"}, Does: "start the next drill"},
		{Keys: []string{"a"}, Does: "repeat this drill"},
		{Keys: []string{"m"}, Does: "menu"},
		{Keys: []string{"q"}, Does: "quit"},
	}
}
