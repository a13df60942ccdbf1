package practice

import (
	"slices"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// drillPage is a drill under way.
type drillPage struct {
	drill  *trainer.Drill
	keep   func() error
	rung   int          // number of results that the bell has rung for
	flips  []sim.Micros // the latest flips by the key
	held   bool         // the key repeats because it is held down
	notice string       // why the drill is paused; "" = by the pilot
	guided bool         // the first minute of a beginner
}

// The intervals between pictures while a bar runs, and otherwise.
const (
	runningFrame = 40 * sim.Millisecond
	restingFrame = 100 * sim.Millisecond
)

func (d *drillPage) key(p *Screen, e term.KeyEvent) bool {
	phase := d.drill.View(p.now).Phase
	switch {
	case e.Name == "q":
		d.stop(p)
	case e.Name == "p" && phase == trainer.PhasePaused:
		if p.input.gone == nil {
			d.resume(p)
		}
	case e.Name == "p":
		d.pause(p)
	case e.Name == "enter" && phase != trainer.PhasePaused:
		d.leaveTrial(p)
	case e.Name == "space" && !p.input.device && phase == trainer.PhasePaused && d.notice != "":
		d.notice = "the drill is paused: p resumes it"
	case e.Name == "space" && !p.input.device:
		d.space(p, e)
	case phase == trainer.PhaseAsk && (e.Name == "y" || e.Name == "n"):
		d.drill.Answer(e.At, e.Name == "y")
		d.after(p)
	}
	return true
}

func (d *drillPage) moved(p *Screen, at sim.Micros, value sim.PulseWidth) {
	d.drill.Move(at, value)
	if d.drill.View(p.now).Phase != trainer.PhasePaused {
		p.help.IsOpen = false // the press has resumed the drill
	}
	d.after(p)
}

func (d *drillPage) tick(p *Screen) {
	d.drill.Tick(p.now)
	if d.drill.Over() {
		d.flips = nil // nothing can be taken back any more
	}
	d.after(p)
	switch {
	case d.drill.Over():
		p.showOutcome(d.drill)
	case d.guided && d.drill.View(p.now).Left <= trainer.Length-guideLasts:
		d.stop(p)
	}
}

// after saves what is new after a call of the drill, and rings for it.
func (d *drillPage) after(p *Screen) {
	if !d.unsure(p.now) {
		p.trouble = d.keep()
	}
	results := d.drill.Results()
	if n := len(results); n > d.rung {
		d.rung = n
		rings := 1
		if !results[n-1].Right {
			rings = 2
		}
		p.bell.ring(rings, p.now)
	}
}

// pause stops the time at the pilot's request, interrupt for another reason.
func (d *drillPage) pause(p *Screen) {
	d.drill.Pause(p.now)
	d.paused(p, "")
}

func (d *drillPage) interrupt(p *Screen, why string) {
	d.drill.Interrupt(p.now)
	d.paused(p, why)
}

func (d *drillPage) paused(p *Screen, why string) {
	d.notice, d.flips, d.held = why, nil, false
	d.after(p)
}

func (d *drillPage) resume(p *Screen) {
	p.input.rest(p.now)
	d.drill.Resume(p.now, p.input.value)
	d.after(p)
}

// leaveTrial moves on to the next trial. If the hand has begun the current one, it
// counts as it is.
func (d *drillPage) leaveTrial(p *Screen) {
	d.drill.Pause(p.now)
	d.flips, d.held = nil, false
	d.resume(p)
}

func (d *drillPage) stop(p *Screen) {
	d.drill.Stop(p.now)
	d.flips = nil
	d.after(p)
	p.showOutcome(d.drill)
}

func (d *drillPage) wake(p *Screen) sim.Micros {
	due := d.drill.Deadline()
	if due == sim.Never {
		return sim.Never
	}
	v := d.drill.View(p.now)
	frame := restingFrame
	if term.HoldRuns(v.Hold) || v.Timeline != nil && v.Timeline.At > 0 {
		frame = runningFrame
	}
	return min(due, p.now+frame)
}

func (d *drillPage) help(p *Screen) []term.HelpLine {
	lines := []term.HelpLine{
		{Keys: []string{"p"}, Does: "pause, resume"},
		{Keys: []string{"y", "n"}, Does: "answer a question"},
		{Keys: []string{"enter"}, Does: "skip to the next trial"},
		{Keys: []string{"q"}, Does: "end the drill, keep results"},
	}
	label := []string{"right is"}
	for _, line := range term.Wrap(d.drill.View(p.now).Kind.Right(), min(term.HelpColumn, p.width)-term.HelpKeys) {
		lines = append(lines, term.HelpLine{Keys: label, Does: line})
		label = nil
	}
	if p.input.device {
		return lines
	}
	does := p.input.tapHint()
	if p.input.releases {
		does = "hold = press, let go = release"
	}
	return slices.Insert(lines, 0, term.HelpLine{Keys: []string{"space"}, Does: does})
}
