package practice

import (
	"flicktally/sim"
	"flicktally/trainer/term"
)

// Where the terminal tells of releases, holding the key is the press. Elsewhere the
// key is a switch that stays where it is put: a tap presses, the next one releases.
// So it is where every move is a flick: letting go would be a second one.
// A key that is held down repeats, which shows only after some repeats; they are
// taken back then.

// tapHint tells how to use a key that was held down.
func (in *input) tapHint() string {
	if in.everyMove {
		return "each tap is a flick"
	}
	return "tap = press, tap again = release"
}

const (
	// repeatsInARow within repeatsWithin are those of a key that is held down: no
	// hand taps that fast so many times in a row. Common practice, no source.
	repeatsInARow = 5
	repeatsWithin = 450 * sim.Millisecond
	// firstRepeat is how long after its press a key repeats at the latest.
	firstRepeat = 1100 * sim.Millisecond
	// repeatsEnd is after how long without a repeat a key is up again.
	repeatsEnd = 200 * sim.Millisecond
)

// space takes what happened to the key that is the switch.
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

// flip moves the switch that a key is, unless the key repeats.
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

// takeBack makes undone what a key has done since its press, given the first of
// the events in flips that come as fast as repeats. The press is the event before,
// unless that is too long ago, or the wait after the first shows that it is the
// press itself.
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
	d.told = min(d.told, len(d.drill.Results()))
	d.after(p)
}

// unsure reports whether what the key did last may yet turn out to be repeats: it
// is not written down before.
func (d *drillPage) unsure(now sim.Micros) bool {
	n := len(d.flips)
	return n > 0 && !d.held && now-d.flips[n-1] < repeatsWithin
}
