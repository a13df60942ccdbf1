package odds

import "flicktally/sim"

// path carries flicks through the rig in a few operations each, a batch at a
// time: every step is a loop over the widths that the step before it left, draws
// what chance decides there, and has no branch that chance decides. It knows what
// the [sim.Chain] makes of a switch that goes to pressed once and back once, while
// the signal is not lost; the tests hold it to the chain, flick by flick.
type path struct {
	mean, sd float64
	frame    clock
	losses   runs
	settle   sim.Micros
	shot     sim.Micros // width of the one-shot; 0 = none
	update   clock
	single   bool // a single move is the flick
	harmless bool // holds past the window toggle too
	widths   column
}

func newPath(c Case, hold sim.Micros) *path {
	p := &path{
		mean: float64(hold + c.Pilot.Shift), sd: c.Pilot.Spread.at(hold),
		frame: newClock(c.Rig.Link.Frame), losses: newRuns(c.Rig.Link.Loss),
		settle: c.Rig.Switch.Settle, update: newClock(c.Rig.Line.Update),
		single: c.singleMove(), harmless: c.longHarmless(),
	}
	if c.Rig.OneShot.Trigger != sim.TriggerOff {
		p.shot = c.Rig.OneShot.Width
	}
	return p
}

// play draws flicks, at most a batch of them, and counts what becomes of them.
func (p *path) play(l *luck, n int, w *windows) Tally {
	widths := p.widths[:n]
	theZiggurat().fillHolds(&l.holds, p.mean, p.sd, widths)
	p.carry(widths, l)
	return p.judge(widths, w)
}

// carry turns holds of the switch into how long the camera sees them; 0 or less =
// not at all.
func (p *path) carry(widths []sim.Micros, l *luck) {
	if p.frame.period > 0 {
		p.frame.sample(widths, &l.frames)
		if p.losses.happen() {
			p.lose(widths, &l.losses)
		}
	}
	if p.settle > 0 {
		leaveOut(widths, p.settle)
	}
	if p.shot > 0 {
		p.shoot(widths)
	}
	if p.update.period > 0 {
		p.update.sample(widths, &l.refreshes)
	}
}

// lose puts begin and end off by the frames that are lost from there on, until
// one arrives.
func (p *path) lose(widths []sim.Micros, s *source) {
	now := *s
	for i, width := range widths {
		var first, last uint64
		first, now = now.next()
		last, now = now.next()
		arrived := width - p.losses.of(first)*p.frame.period
		width = arrived + p.losses.of(last)*p.frame.period
		if arrived <= 0 {
			width = 0
		}
		widths[i] = width
	}
	*s = now
}

// leaveOut leaves presses out that are not longer than the settling time.
func leaveOut(widths []sim.Micros, settle sim.Micros) {
	for i, width := range widths {
		if width <= settle {
			width = 0
		}
		widths[i] = width
	}
}

// shoot gives presses the width of the one-shot's pulse; a single move is one
// however long it lasts.
func (p *path) shoot(widths []sim.Micros) {
	if p.single {
		for i := range widths {
			widths[i] = p.shot
		}
		return
	}
	for i, width := range widths {
		if width > 0 {
			width = p.shot
		}
		widths[i] = width
	}
}

// judge counts what the camera makes of presses (M7).
func (p *path) judge(widths []sim.Micros, w *windows) Tally {
	minPress, longPress := w.minPress[:len(widths)], w.longPress[:len(widths)]
	var missed, short, fitting int // each with those before it
	for i, width := range widths {
		missed += less(width, 1)
		short += less(width, minPress[i])
		fitting += less(width, longPress[i])
	}
	if p.harmless {
		fitting = len(widths)
	}
	return Tally{Missed: missed, Short: short - missed, Toggles: fitting - short, Long: len(widths) - fitting}
}

// less returns 1 if a < b and else 0, by the sign of the difference.
func less(a, b sim.Micros) int { return int(uint64(a-b) >> 63) }

// clock looks at a press every period.
type clock struct {
	period sim.Micros
	rate   float64 // looks per half µs
}

func newClock(period sim.Micros) clock { return clock{period, 0.5 / float64(period)} }

// sample makes of widths how long they are seen, whole periods, each at a phase of
// its own.
func (c clock) sample(widths []sim.Micros, s *source) {
	now := *s
	for i, width := range widths {
		var u uint64
		u, now = now.next()
		widths[i] = c.looks(width, below(c.period, u)) * c.period
	}
	*s = now
}

// looks returns how many looks a press meets that begins since + 1 µs after a
// look, at most a period. It divides by multiplying with the inverse: in halves of
// a µs no quotient is so close to a whole number that rounding could matter, up to
// 2⁵⁰ µs.
func (c clock) looks(width, since sim.Micros) sim.Micros {
	return sim.Micros(float64(2*(width+since)+1) * c.rate)
}
