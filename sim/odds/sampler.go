package odds

import (
	"math"
	"math/bits"
	"math/rand/v2"

	"flicktally/sim"
)

// luck is the chance of one block of flicks. Lost frames have a source of their
// own, so that flick i of a block is the same flick whatever the rig.
type luck struct {
	main   *rand.PCG
	normal *rand.Rand // draws from main
	losses *rand.PCG
}

func newLuck(seed, block uint64) luck {
	main := rand.NewPCG(seed, 2*block)
	return luck{main, rand.New(main), rand.NewPCG(seed, 2*block+1)}
}

// below draws uniformly from 0 to less than n; 0 for n = 0.
func (l *luck) below(n sim.Micros) sim.Micros {
	high, _ := bits.Mul64(l.main.Uint64(), uint64(n))
	return sim.Micros(high)
}

// window draws the press window: each threshold is a real number, uniform on its
// range (M9). Holds are whole µs, so the next whole µs stands for it.
func (l *luck) window(c sim.CameraSpec) sim.Window {
	within := func(i sim.Interval) sim.Micros {
		if i.Exact() {
			return i.Low
		}
		return i.Low + 1 + l.below(i.High-i.Low)
	}
	return sim.Window{MinPress: within(c.MinPress), LongPress: within(c.LongPress)}
}

// hold draws how long a flick is held.
func (l *luck) hold(mean, sd float64) sim.Micros {
	off := float64(sd * l.normal.NormFloat64()) // the conversion keeps machines from fusing it with the sum
	return sim.Micros(max(0, mean+off) + 0.5)
}

// flick is what chance decides of a flick up to the receiver. It has four
// words, so that the compiler keeps it in registers.
type flick struct {
	hold      sim.Micros // 0 = no press
	frameIn   sim.Micros // from the press to the first frame after it
	lostFirst sim.Micros // frames lost from there on until one arrives
	lostLast  sim.Micros // the same from the release on
}

// path carries flicks through the rig in a few operations each. It knows what
// the [sim.Chain] makes of a switch that goes to pressed once and back once,
// while the signal is not lost; the tests hold it to the chain, flick by flick.
type path struct {
	mean, sd float64
	frame    sim.Micros
	lossBits uint64 // a frame is lost if 64 random bits are below
	settle   sim.Micros
	shot     sim.Micros // width of the one-shot; 0 = none
	update   sim.Micros
	single   bool // a single move is the flick
	harmless bool // holds past the window toggle too
}

func newPath(c Case, hold sim.Micros) path {
	p := path{
		mean: float64(hold + c.Pilot.Shift), sd: c.Pilot.Spread.at(hold),
		frame: c.Rig.Link.Frame, lossBits: uint64(math.Ldexp(c.Rig.Link.Loss, 64)),
		settle: c.Rig.Switch.Settle, update: c.Rig.Line.Update,
		single: c.singleMove(), harmless: c.longHarmless(),
	}
	if c.Rig.OneShot.Trigger != sim.TriggerOff {
		p.shot = c.Rig.OneShot.Width
	}
	return p
}

// draw draws a flick.
func (p *path) draw(l *luck) flick {
	f := flick{hold: l.hold(p.mean, p.sd), frameIn: l.below(p.frame)}
	if p.frame > 0 && p.lossBits > 0 {
		for l.losses.Uint64() < p.lossBits {
			f.lostFirst++
		}
		for l.losses.Uint64() < p.lossBits {
			f.lostLast++
		}
	}
	return f
}

// seen returns how long the camera sees the flick; 0 = not at all. The first
// refresh of the line comes refreshIn after the press has begun there.
func (p *path) seen(f flick, refreshIn sim.Micros) sim.Micros {
	width := sim.Never
	if !p.single {
		width = p.arriving(f)
		if width <= p.settle {
			return 0
		}
	}
	if p.shot > 0 {
		width = p.shot
	}
	if p.update > 0 {
		width = looks(width, refreshIn, p.update) * p.update
	}
	return width
}

// arriving returns how long the position behind the link is pressed.
func (p *path) arriving(f flick) sim.Micros {
	if p.frame == 0 {
		return f.hold
	}
	frames := looks(f.hold, f.frameIn, p.frame)
	if f.lostFirst >= frames {
		return 0
	}
	return (frames - f.lostFirst + f.lostLast) * p.frame
}

// looks returns how many of the moments first, first + period, … lie within a
// width.
func looks(width, first, period sim.Micros) sim.Micros {
	if width <= first {
		return 0
	}
	return (width-first-1)/period + 1
}

// judge tells what the camera makes of a press (M7).
func (p *path) judge(width sim.Micros, w sim.Window) Outcome {
	switch {
	case width == 0:
		return Missed
	case width < w.MinPress:
		return Short
	case width < w.LongPress || p.harmless:
		return Toggles
	default:
		return Long
	}
}

// flickOnce draws a flick and tells what becomes of it.
func (p *path) flickOnce(l *luck, w sim.Window) Outcome {
	refreshIn := l.below(p.update)
	return p.judge(p.seen(p.draw(l), refreshIn), w)
}
