package practice

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/joystick"
	"flicktally/sim/stat"
	"flicktally/sim/tell"
	"flicktally/trainer"
	"flicktally/trainer/device"
	"flicktally/trainer/term"
	"flicktally/trainer/term/screentest"
)

func TestAKeyIsALatchingSwitch(t *testing.T) {
	p := practising(t, trainer.KindFlick, 80, 24)
	p.waitFor(trainer.PhaseAct)
	p.shows("switch: rest")
	p.press("space")
	p.wait(310 * ms)
	p.shows("switch: pressed")
	p.press("space")
	p.shows("switch: rest")
	p.wait(100 * ms)
	p.shows("last: right −40 ms")
	require.Equal(t, 310*ms, p.book.drill.Flicks()[0].Hold())
	require.Zero(t, p.book.kept, "the key may turn out to be held down")
	p.wait(500 * ms)
	require.Equal(t, 1, p.book.kept)
}

func TestHoldsAreThoseOfTheKeysStamps(t *testing.T) {
	p := practising(t, trainer.KindFlick, 80, 24)
	p.waitFor(trainer.PhaseAct)
	for _, hold := range []sim.Micros{20 * ms, 81_234, 310_007, 2 * sec} {
		down := p.now
		p.wait(12 * ms) // the event comes later than the byte was read
		p.Handle(term.KeyEvent{At: down, Name: "space"})
		p.wait(hold)
		p.Handle(term.KeyEvent{At: down + hold, Name: "space"})
		p.wait(6 * sec)
	}
	var holds []sim.Micros
	for _, f := range p.book.drill.Flicks() {
		holds = append(holds, f.Hold())
	}
	require.Equal(t, []sim.Micros{20 * ms, 81_234, 310_007, 2 * sec}, holds)
}

// A key that is held down is one press at its first event, on or before the cue,
// whatever its repeats seemed to do at first.
func TestAKeyThatIsHeldDownIsOnePress(t *testing.T) {
	for _, delay := range []sim.Micros{250 * ms, 400 * ms, sec} {
		for _, period := range []sim.Micros{25 * ms, 33 * ms, 92 * ms} {
			p := practising(t, trainer.KindFlick, 80, 24)
			p.onCue(300 * ms)
			p.wait(2 * sec)
			p.waitFor(trainer.PhaseAct)
			down := p.now
			p.press("space")
			p.wait(delay)
			for range 12 {
				p.press("space")
				p.wait(period)
			}
			p.shows(p.input.tapHint(), "switch: pressed")
			require.Len(t, p.book.drill.Flicks(), 1, "delay %s, period %s", delay, period)
			require.Len(t, p.book.drill.Results(), 1)
			require.Equal(t, 1, p.book.kept, "the repeats are not saved")
			p.wait(300 * ms)
			p.press("space")
			up := p.now
			p.wait(100 * ms)
			p.shows("switch: rest")
			require.Len(t, p.book.drill.Flicks(), 2)
			require.Equal(t, up-down, p.book.drill.Flicks()[1].Hold())
		}
	}
}

// The fastest hands tap about ten times a second for a moment, and two flicks are
// four taps. Common practice, no source.
func TestQuickFlicksAreNoRepeats(t *testing.T) {
	p := practising(t, trainer.KindCut, 80, 24)
	p.waitFor(trainer.PhaseAct)
	for range 4 {
		p.press("space")
		p.wait(100 * ms)
	}
	require.NotContains(t, p.picture(screentest.Unicode), p.input.tapHint())
}

func TestOnlyTheSpaceBarFlips(t *testing.T) {
	p := practising(t, trainer.KindHandsOff, 80, 24)
	p.wait(sec)
	p.press("esc", "enter", "x", "up", "1", "y")
	p.wait(100 * ms)
	require.Empty(t, p.book.drill.Results())
	p.press("space")
	p.wait(100 * ms)
	require.Equal(t, "touched", p.book.drill.Results()[0].Words)
}

func TestAStandstillPausesTheDrillWhereItStood(t *testing.T) {
	p := practising(t, trainer.KindFlick, 80, 24)
	p.onCue(300 * ms)
	stood := p.now
	p.now += 10 * sim.Minute // a shell stopped the program
	p.Handle(term.ResizeEvent{At: p.now, Width: 80, Height: 24})
	p.shows("was suspended")
	v := p.book.drill.View(p.now)
	require.Equal(t, trainer.PhasePaused, v.Phase)
	require.InDelta(t, float64(trainer.Length-stood), float64(v.Left), float64(trainer.Lateness))
	p.press("p")
	p.onCue(300 * ms)
	require.Len(t, p.book.drill.Results(), 2)
}

// A flick just before the end of a drill is kept like the others.
func TestTheLastFlickOfADrillIsKept(t *testing.T) {
	p := practising(t, trainer.KindFlick, 80, 24)
	for range 3000 {
		if _, over := p.page.(*outcomePage); over {
			break
		}
		p.flick(60 * ms)
		p.wait(200 * ms)
	}
	p.shows("Done: One flick")
	require.Equal(t, len(p.book.drill.Flicks()), p.book.kept)
}

func TestADrillEndsAndSaysWhatToDoNext(t *testing.T) {
	p := practising(t, trainer.KindFlick, 80, 24)
	for range 30 {
		if _, over := p.page.(*outcomePage); over {
			break
		}
		p.wait(4 * sec)
		if p.book.drill.View(p.now).Phase == trainer.PhaseAct {
			p.flick(330 * ms)
		}
	}
	p.shows("Done: One flick", "next: ", "enter next")
	before := p.book.drill
	p.press("a")
	require.Equal(t, trainer.KindFlick, p.book.drill.Setup().Kind)
	require.NotEqual(t, before.Setup().Seed, p.book.drill.Setup().Seed)
	p.press("q")
	p.shows("Practise Heron") // nothing was done in it
	p.press("4")
	require.Equal(t, trainer.KindCut, p.book.drill.Setup().Kind)
	done, err := p.End()
	require.NoError(t, err)
	require.Equal(t, 1, done.Drills)
	require.Equal(t, len(before.Flicks()), done.Flicks)
	require.NotEmpty(t, done.Next)
}

// TestEnterStartsTodaysPlan, which does not propose drills that are done.
func TestEnterStartsTodaysPlan(t *testing.T) {
	p := practising(t, "", 80, 24)
	p.book.known = trainer.Known{Days: trainer.Days{Today: []trainer.Kind{trainer.KindFlick, trainer.KindFlick}}}
	p.readNotebook()
	p.openMenu()
	p.press("enter")
	require.Equal(t, trainer.KindSteady, p.book.drill.Setup().Kind)
	p.onCue(350 * ms)
	p.book.known.Days.Today = append(p.book.known.Days.Today, trainer.KindSteady)
	p.press("q")
	p.shows("next: One flick. On the cue")
	p.press("m")
	require.NotContains(t, p.page.(*menuPage).kinds, today)
}

func TestADrillWithoutATrialSaysThatItWasLeft(t *testing.T) {
	p := practising(t, trainer.KindBlind, 80, 24)
	p.waitFor(trainer.PhaseAct)
	p.flick(300 * ms)
	p.wait(2 * sec)
	p.press("q")
	p.shows("Done: Blind count", "ended before the first trial was over; the flicks are kept", "next: ")
}

func TestTheFirstFlickOfTheDayIsColdAndReported(t *testing.T) {
	p := practising(t, trainer.KindFlick, 80, 24)
	p.book.known.FirstFlicks = stat.Rate{Hits: 4, Trials: 6}
	p.Screen.known.FirstFlicks = p.book.known.FirstFlicks
	p.onCue(40*ms, 300*ms)
	p.book.known.Practised = true
	p.press("q")
	p.shows("the day's first flick, cold: it did not toggle; so far it has toggled on 4 of 7\ndays", "1 of 1 (21 to 100 %) right")
	p.press("a")
	require.False(t, p.book.drill.Setup().Cold)
}

func TestEndKeepsTheFlickThatIsNotJudgedYet(t *testing.T) {
	p := practising(t, trainer.KindFlick, 80, 24)
	p.waitFor(trainer.PhaseAct)
	p.flick(300 * ms)
	require.Zero(t, p.book.kept)
	_, err := p.End()
	require.NoError(t, err)
	require.Equal(t, 1, p.book.kept)
}

func TestTroubleWithTheNotebookIsShownWhileItLasts(t *testing.T) {
	p := practising(t, trainer.KindFlick, 80, 24)
	p.book.fails = errors.New("disk full")
	p.onCue(300 * ms)
	p.wait(500 * ms)
	p.shows("not saved: disk full")
	p.book.fails = nil
	p.wait(sec)
	require.NotContains(t, p.picture(screentest.Unicode), "not kept")
	_, err := p.End()
	require.NoError(t, err)
}

func TestADrillThatCouldNotBeSavedIsReportedAtTheEnd(t *testing.T) {
	full := errors.New("disk full")
	p := practising(t, "", 80, 24)
	p.book.fails = full
	p.press("1")
	p.wait(sec)
	p.shows("not saved: disk full")
	p.book.fails = nil
	p.press("q", "2")
	p.wait(sec)
	_, err := p.End()
	require.ErrorIs(t, err, full)
}

func TestOnlyQAndCtrlCEndPractice(t *testing.T) {
	require.False(t, practising(t, "", 80, 24).press("q"))
	p := practising(t, trainer.KindFlick, 80, 24)
	require.True(t, p.press("p", "?", "q", "p", "q"), "q closes the help, then ends the drill")
	require.False(t, p.press("q"))
	require.False(t, practising(t, trainer.KindBlind, 80, 24).press("ctrl-c"))
}

func TestTheBellRingsOnceForRightAndTwiceForMissed(t *testing.T) {
	rings := func(on bool, hold sim.Micros) int {
		p := practising(t, trainer.KindFlick, 80, 24, func(o *Options) { o.Bell = on })
		n := 0
		p.waitFor(trainer.PhaseAct)
		p.flick(hold)
		for end := p.now + sec; p.now < end; {
			p.wait(p.Wake() - p.now)
			if p.Ring() {
				n++
			}
		}
		return n
	}
	require.Equal(t, 1, rings(true, 300*ms))
	require.Equal(t, 2, rings(true, 30*ms))
	require.Zero(t, rings(false, 300*ms))
}

func TestAReviewIsOfferedWhereThereIsAFlight(t *testing.T) {
	require.NotContains(t, practising(t, "", 80, 24).picture(screentest.Unicode), "Flight review")
	p := practising(t, "", 80, 24, func(o *Options) {
		o.Setup.Review = trainer.Mistakes(heldTooLong())
	})
	p.shows("▸ 9  Flight review")
	p.press("enter")
	p.shows("Flight review")
}

// heldTooLong has the mistakes of a flight with one flick, held too long.
func heldTooLong() []tell.Finding {
	chain := sim.NewChain(sim.TapChannel, heron())
	for at := sim.Micros(0); at < 10*sec; at += 10 * ms {
		value := sim.PulseWidth(1000)
		if at >= 3*sec && at < 6*sec {
			value = 2000
		}
		chain.Feed(sim.Sample{At: at, Channel: value, Armed: 2000})
	}
	return tell.Findings(chain.Finish(), tell.DefaultLimits())
}

func TestARigThatCannotBePractisedOnIsRefused(t *testing.T) {
	_, err := New(Options{Notebook: &memory{}})
	require.ErrorContains(t, err, "cannot practise with this rig")
}

func TestTheInputIsMeasured(t *testing.T) {
	p := practising(t, "", 80, 24, func(o *Options) { o.Setup.Resolution = 0 })
	p.shows("The input: keyboard")
	for i := range gapsWanted + 2 {
		p.press("space")
		p.wait(33 * ms)
		switch {
		case i == 0:
			p.wait(500 * ms) // before a key repeats
		case i%8 == 0:
			p.wait(600) // and a late one every now and then
		}
	}
	require.Equal(t, keyboardScan+600, p.input.resolution)
	p.shows("input resolution 8.6 ms", "0.6 ms here")
	p.press("space", "space") // it still repeats
	p.press("enter")
	p.shows("Practise Heron")
}

func TestAnInputThatIsNotMeasuredIsAssumed(t *testing.T) {
	p := practising(t, trainer.KindFlick, 80, 24, func(o *Options) { o.Setup.Resolution = 0 })
	p.press("enter")
	require.Equal(t, assumedResolution, p.book.drill.Setup().Resolution)
	require.Equal(t, "assumed", p.input.measured)
}

func TestRepeatJitter(t *testing.T) {
	gaps := make([]sim.Micros, 100)
	for i := range gaps {
		gaps[i] = 30 * ms
	}
	require.Equal(t, ms/10, repeatJitter(gaps), "never 0")
	for i := range 5 {
		gaps[i*7] += 20 * ms // one in twenty may be late
	}
	require.Equal(t, ms/10, repeatJitter(gaps))
	gaps[99] -= 1050
	require.Equal(t, 1100*sim.Microsecond, repeatJitter(gaps))
}

// transmitter feeds the moves of a transmitter with its own clock.
type transmitter struct {
	*pilot
	ahead sim.Micros
}

func withTransmitter(t *testing.T, kind trainer.Kind, resolution sim.Micros) *transmitter {
	p := practising(t, kind, 80, 24, func(o *Options) {
		o.Switch = Switch{Name: "Heron transmitter"}
		o.Setup.Resolution = resolution
	})
	return &transmitter{p, 5 * sim.Hour}
}

var aux = joystick.Control{Kind: joystick.Axis, Number: 5}

// moves moves a control; the program receives the move some time later.
func (x *transmitter) moves(c joystick.Control, value sim.PulseWidth, late sim.Micros) {
	m := joystick.Move{At: x.now + x.ahead, Control: c, Value: value}
	x.wait(late)
	x.Handle(term.SourceEvent{At: x.now, Value: device.Moves{Now: x.now + x.ahead, Moves: []joystick.Move{m}}})
}

// findSwitch flicks the switch there and back, from a position.
func (x *transmitter) findSwitch(from, to sim.PulseWidth) {
	for _, value := range []sim.PulseWidth{from, to, from} {
		x.wait(300 * ms)
		x.moves(aux, value, 0)
	}
}

func TestATransmittersSwitchIsFoundAndFlicked(t *testing.T) {
	x := withTransmitter(t, trainer.KindFlick, 8*ms)
	x.shows("Heron transmitter", "there and back")
	x.findSwitch(1000, 2000)
	x.waitFor(trainer.PhaseAct)
	x.moves(aux, 2000, 3*ms)
	x.shows("switch: pressed")
	x.wait(250 * ms)
	x.moves(aux, 1000, 9*ms)
	x.wait(100 * ms)
	require.Equal(t, 253*ms, x.book.drill.Flicks()[0].Hold(), "by the transmitter's own clock")
	x.press("space")
	x.shows("switch: rest")
}

func TestATransmittersReportsAreMeasured(t *testing.T) {
	x := withTransmitter(t, "", 0)
	x.findSwitch(1000, 2000)
	x.shows("The input: Heron transmitter")
	stick := joystick.Control{Kind: joystick.Axis, Number: 0}
	for i := range gapsWanted + 1 {
		x.wait(7 * ms)
		if i%10 == 0 {
			x.wait(21 * ms) // it stands still for a moment
		}
		x.moves(stick, sim.PulseWidth(1000+10*i), 0)
	}
	require.Equal(t, 7*ms, x.input.resolution)
	x.press("enter")
	x.shows("Practise Heron", "input resolution 7 ms")
}

func TestUnpluggingPausesAndSaysSo(t *testing.T) {
	x := withTransmitter(t, trainer.KindFlick, 8*ms)
	x.findSwitch(1000, 2000)
	x.waitFor(trainer.PhaseAct)
	x.Handle(term.SourceEvent{At: x.now, Value: device.Gone{Reason: errors.New("the transmitter was unplugged")}})
	x.shows("the transmitter was unplugged")
	require.Equal(t, trainer.PhasePaused, x.book.drill.View(x.now).Phase)
	x.press("p")
	require.Equal(t, trainer.PhasePaused, x.book.drill.View(x.now).Phase, "without a switch it cannot resume")
	x.Handle(term.SourceEvent{At: x.now, Value: device.Back{}})
	x.shows("the transmitter is back: p resumes")
	x.press("p")
	x.waitFor(trainer.PhaseAct)
}

// If moves were missed, the position is reported later (joystick-api: initial
// records after an overflow). The hold is then unknown.
func TestMissedMovesPauseTheDrill(t *testing.T) {
	x := withTransmitter(t, trainer.KindFlick, 8*ms)
	x.findSwitch(1000, 2000)
	x.waitFor(trainer.PhaseAct)
	found := func(value sim.PulseWidth) {
		m := joystick.Move{At: x.now + x.ahead, Control: aux, Value: value, Initial: true}
		x.Handle(term.SourceEvent{At: x.now, Value: device.Moves{Now: m.At, Moves: []joystick.Move{m}}})
	}
	found(1000)
	require.Equal(t, trainer.PhaseAct, x.book.drill.View(x.now).Phase, "it is where it was")
	found(2000)
	x.shows("some moves of the switch were missed", "switch: pressed")
	x.press("p")
	require.Equal(t, trainer.PhaseRest, x.book.drill.View(x.now).Phase)
	require.Empty(t, x.book.drill.Flicks())
}

// A transmitter's switch that presses at the start has to be put to rest first.
func TestASwitchThatPressesMustBePutToRest(t *testing.T) {
	x := withTransmitter(t, trainer.KindFlick, 8*ms)
	x.findSwitch(2000, 1000)
	require.Equal(t, trainer.PhaseRest, x.book.drill.View(x.now).Phase)
	x.wait(sec)
	x.moves(aux, 1000, 0)
	x.waitFor(trainer.PhaseAct)
}

func TestDrawsAtEverySize(t *testing.T) {
	screentest.CheckEverySize(t, func() term.Program { return practising(t, trainer.KindFlick, 80, 24).Screen })
}

func TestQuitsLikeAllScreens(t *testing.T) {
	screentest.CheckQuits(t, practising(t, "", 39, 12).Screen)
}
