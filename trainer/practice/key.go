package practice

import (
	"flicktally/sim"
	"flicktally/trainer/term"
)

// If the terminal reports releases, holding the key is the press. Otherwise the key
// latches: a tap presses, the next one releases. It also latches if every move is a
// flick, as letting go would be another flick. A latching key that is held down
// shows only after some repeats, which are then taken back.

// tapHint says how to use the key, after it was held down.
func (in *input) tapHint() string {
	if in.everyMove {
		return "each tap is a flick"
	}
	return "tap = press, again = release"
}

const (
	// repeatsInARow events within repeatsWithin come from a key that is held
	// down: no hand taps so fast so often. Common practice, no source.
	repeatsInARow = 5
	repeatsWithin = 450 * sim.Millisecond
	// firstRepeat is the longest time from a key's press to its first repeat.
	firstRepeat = 1100 * sim.Millisecond
	// repeatsEnd is the time after its last repeat when a key counts as released.
	repeatsEnd = 200 * sim.Millisecond
)

// space handles an event of the key that is the switch.
func (d *drillPage) space(p *Screen, e term.KeyEvent) {
	switch {
	case e.Kind == term.KeyRepeated:
	case p.input.releases:
		value := p.input.pressAt
		if e.Kind == term.KeyReleased {
			value = p.input.restAt
		}
		if value != p.input.value {
			p.input.put(e.At, value)
			d.moved(p, e.At, value)
		}
	case e.Kind == term.KeyPressed:
		d.flip(p, e.At)
	}
}

// flip moves the switch by a key event, unless the key repeats.
func (d *drillPage) flip(p *Screen, at sim.Micros) {
	last := sim.Micros(-sim.MaxDuration)
	if n := len(d.flips); n > 0 {
		last = d.flips[n-1]
	}
	d.flips = append(d.flips[max(0, len(d.flips)-repeatsInARow):], at)
	switch {
	case d.held && at-last < repeatsEnd:
		return
	case d.held:
		d.held, d.flips = false, []sim.Micros{at}
	}
	if first := len(d.flips) - repeatsInARow; first >= 0 && at-d.flips[first] < repeatsWithin {
		d.takeBack(p, first)
		return
	}
	p.input.flip(at)
	d.moved(p, at, p.input.value)
}

// takeBack undoes the repeats of a key, given the index of the first event in flips
// that came as fast as a repeat. The key's press, which counts, is the event before
// that, unless it is too long ago, or a longer wait after the first event shows
// that the first is itself the press.
func (d *drillPage) takeBack(p *Screen, first int) {
	f := d.flips
	if first == 0 || f[first]-f[first-1] > firstRepeat || f[first+1]-f[first] > 2*(f[first+2]-f[first+1]) {
		first++
	}
	done := d.flips[first : len(d.flips)-1]
	d.drill.TakeBack(done[0])
	if len(done)%2 == 1 {
		p.input.flip(p.now)
	}
	d.held = true
	d.drill.Tick(p.now)
	d.rung = min(d.rung, len(d.drill.Results()))
	d.after(p)
}

// unsure reports whether the latest key events may still turn out to be repeats.
// They are not saved until that is known.
func (d *drillPage) unsure(now sim.Micros) bool {
	n := len(d.flips)
	return n > 0 && !d.held && now-d.flips[n-1] < repeatsWithin
}
