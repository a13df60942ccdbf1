package practice

import (
	"flicktally/sim"
	"flicktally/sim/joystick"
	"flicktally/trainer"
	"flicktally/trainer/device"
	"flicktally/trainer/term"
)

// Switch says what to flick. The zero Switch is a key of the keyboard.
type Switch struct {
	// Name of the transmitter; "" for the keyboard.
	Name string
	// Control is the transmitter's switch; nil = find it when it moves.
	Control *joystick.Control
}

// input is the switch in use, with its resolution.
type input struct {
	name            string
	device          bool
	releases        bool           // holding the key is the press: the terminal reports releases
	everyMove       bool           // every move is a flick, so each tap of the key is one
	restAt, pressAt sim.PulseWidth // the two positions of a key
	value           sim.PulseWidth // position of the switch
	spec            sim.SwitchSpec
	hand            sim.Selector // decides whether the switch presses

	control joystick.Control
	found   bool
	gone    error // nil while the transmitter is there
	finder  joystick.Finder
	// ahead is how far the session's clock is ahead of the transmitter's.
	ahead      sim.Micros
	aheadKnown bool

	resolution sim.Micros // 0 = unknown
	measured   string     // how it was determined
}

func newInput(s Switch, setup trainer.Setup) input {
	rest, press, err := setup.Rig.RestAndPress()
	if err != nil {
		panic("internal error: a rig that can be practised on: " + err.Error())
	}
	in := input{
		name: s.Name, device: s.Name != "", restAt: rest, pressAt: press, value: rest,
		spec:       setup.Rig.Switch,
		hand:       sim.NewSelector(setup.Rig.Switch, sim.SignalLossSpec{StaleAfter: sim.MaxDuration, Then: sim.LossHold}),
		resolution: setup.Resolution, measured: "as given",
		everyMove: setup.Rig.OneShot.Trigger == sim.TriggerBoth,
	}
	if !in.device {
		in.name = "keyboard"
	}
	if s.Control != nil {
		in.control, in.found = *s.Control, true
	}
	return in
}

// flip moves the keyboard's switch, which latches.
func (in *input) flip(at sim.Micros) {
	if in.value == in.restAt {
		in.put(at, in.pressAt)
	} else {
		in.put(at, in.restAt)
	}
}

// rest puts the keyboard's switch to rest; a transmitter's stays where it is.
func (in *input) rest(at sim.Micros) {
	if !in.device {
		in.put(at, in.restAt)
	}
}

func (in *input) put(at sim.Micros, value sim.PulseWidth) {
	in.value = value
	if in.spec.IsValid(value) {
		in.hand.Step(at, value)
	}
}

// take returns the switch's moves among those of the transmitter's controls, with
// times of the session's clock.
func (in *input) take(at sim.Micros, m device.Moves) []joystick.Move {
	if !in.aheadKnown {
		in.ahead, in.aheadKnown = at-m.Now, true
	}
	var moves []joystick.Move
	for _, move := range m.Moves {
		move.At += in.ahead
		if !in.found {
			in.control, in.found = in.finder.Feed(move)
		}
		if in.found && move.Control == in.control {
			moves = append(moves, move)
		}
	}
	return moves
}

func (p *Screen) handleSwitch(e term.SourceEvent) {
	in := &p.input
	switch news := e.Value.(type) {
	case device.Moves:
		reports, isMeasure := p.page.(*measurePage)
		for _, move := range in.take(e.At, news) {
			p.takeMove(move)
		}
		if isMeasure {
			reports.report(news.Moves)
		}
	case device.Gone:
		in.gone = news.Reason
		if d, drilling := p.page.(*drillPage); drilling {
			d.interrupt(p, in.gone.Error())
		}
	case device.Back:
		in.gone = nil
		if d, drilling := p.page.(*drillPage); drilling {
			d.notice = "the transmitter is back: p resumes"
		}
	}
}

// takeMove handles a move of the switch. If the switch turns up in an unexpected
// position, the time of its move is unknown, so the drill is paused.
func (p *Screen) takeMove(m joystick.Move) {
	was := p.input.hand.Pressed()
	p.input.put(m.At, m.Value)
	d, drilling := p.page.(*drillPage)
	if drilling && m.Initial {
		if p.input.hand.Pressed() != was {
			d.interrupt(p, "some moves of the switch were missed")
		}
		return
	}
	p.page.moved(p, m.At, m.Value)
}

// findPage waits for the pilot to move the switch, to find it among the
// transmitter's controls.
type findPage struct{ waiting }

func (*findPage) key(_ *Screen, e term.KeyEvent) bool { return e.Name != "q" }

func (*findPage) moved(p *Screen, _ sim.Micros, _ sim.PulseWidth) { p.begin() }

func (*findPage) help(*Screen) []term.HelpLine {
	return []term.HelpLine{{Keys: []string{"q"}, Does: "quit"}}
}
