package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
	"flicktally/trainer/term/screentest"
)

// practised is the past of a pilot with some trials; one drill became reliable the
// day before.
func practised(o *Options) {
	today := time.Date(2025, time.June, 3, 18, 0, 0, 0, time.UTC)
	past := trainer.NewPast(today)
	for i := range 40 {
		past.AddAt(today.AddDate(0, 0, -1), trainer.Result{Kind: trainer.KindFlick, Right: true, Within: true})
		past.Add(trainer.Result{Kind: trainer.KindSteady, Right: i%5 > 0, Within: i%3 > 0})
	}
	o.Notebook.(*memory).known.Past = past
}

// TestPractisePictures compares whole pictures with those in testdata.
func TestPractisePictures(t *testing.T) {
	unmeasured := func(o *Options) { o.Setup.Resolution = 0 }
	transmitter := func(o *Options) { o.Switch.Name = "Heron transmitter" }
	for _, tt := range []struct {
		name          string
		kind          trainer.Kind
		width, height int
		glyphs        *term.Glyphs
		options       func(*Options)
		do            func(*pilot)
	}{
		{"measure-80x24", "", 80, 24, screentest.Unicode, unmeasured, func(p *pilot) { p.hold(20) }},
		{"find-40x12", "", 40, 12, screentest.Unicode, transmitter, func(*pilot) {}},
		{"menu-80x24", "", 80, 24, screentest.Unicode, practised, func(p *pilot) { p.press("down") }},
		{"menu-40x12", "", 40, 12, screentest.Unicode, practised, func(*pilot) {}},
		{"wait-80x24", trainer.KindFlick, 80, 24, screentest.Unicode, nil, func(*pilot) {}},
		{"cue-40x12", trainer.KindFlick, 40, 12, screentest.Unicode, nil, func(p *pilot) { p.waitFor(trainer.PhaseAct) }},
		{"holding-80x24-ascii", trainer.KindSteady, 80, 24, screentest.ASCII, nil, func(p *pilot) {
			p.waitFor(trainer.PhaseAct)
			p.press("space")
			p.wait(280 * ms)
		}},
		{"right-120x40", trainer.KindFlick, 120, 40, screentest.Unicode, nil, func(p *pilot) {
			p.onCue(310*ms, 420*ms, 500*ms, 60*ms, 380*ms)
		}},
		{"missed-40x12", trainer.KindSteady, 40, 12, screentest.Unicode, nil, func(p *pilot) { p.onCue(50 * ms) }},
		{"pattern-80x24", trainer.KindPattern, 80, 24, screentest.Unicode, nil, func(p *pilot) {
			p.waitFor(trainer.PhaseAct)
			p.flick(300 * ms)
			p.wait(sec)
		}},
		{"question-80x24", trainer.KindBlind, 80, 24, screentest.Unicode, nil, (*pilot).toTheQuestion},
		{"question-40x12", trainer.KindBlind, 40, 12, screentest.Unicode, nil, (*pilot).toTheQuestion},
		{"paused-80x24", trainer.KindTake, 80, 24, screentest.Unicode, nil, func(p *pilot) { p.wait(sec); p.press("p") }},
		{"outcome-80x24", trainer.KindFlick, 80, 24, screentest.Unicode, nil, func(p *pilot) {
			p.onCue(310*ms, 420*ms, 500*ms, 60*ms, 380*ms)
			p.press("q")
		}},
		{"mixed-80x24", trainer.KindMixed, 80, 24, screentest.Unicode, nil, func(p *pilot) { p.mixedFor(100 * sec) }},
		{"mixed-outcome-40x12", trainer.KindMixed, 40, 12, screentest.Unicode, nil, func(p *pilot) {
			p.mixedFor(100 * sec)
			p.press("q")
		}},
		{"outcome-40x12", trainer.KindFlick, 40, 12, screentest.Unicode, nil, func(p *pilot) {
			p.onCue(310*ms, 420*ms, 500*ms, 60*ms, 380*ms)
			p.press("q")
		}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var more []func(*Options)
			if tt.options != nil {
				more = append(more, tt.options)
			}
			p := practising(t, tt.kind, tt.width, tt.height, more...)
			tt.do(p)
			got := p.picture(tt.glyphs)
			screentest.Golden(t, tt.name, got)
		})
	}
}

// hold holds a key down: it repeats a number of times, 33 ms apart.
func (p *pilot) hold(repeats int) {
	for i := range repeats {
		p.press("space")
		p.wait(33 * ms)
		if i == 0 {
			p.wait(400 * ms)
		}
	}
}

// toTheQuestion flicks on every cue of a blind count until the question.
func (p *pilot) toTheQuestion() {
	for p.book.drill.View(p.now).Phase != trainer.PhaseAsk {
		if p.book.drill.View(p.now).Phase == trainer.PhaseAct {
			p.flick(300 * ms)
		}
		p.wait(100 * ms)
	}
}

// mixedFor does what a mixed drill asks for, for some time.
func (p *pilot) mixedFor(d sim.Micros) {
	for end := p.now + d; p.now < end; p.wait(150 * ms) {
		switch p.book.drill.View(p.now).Phase {
		case trainer.PhaseAct:
			p.flick(340 * ms)
		case trainer.PhaseAsk:
			p.press("y")
		}
	}
}

func TestTheTallyIsHiddenWhileItIsCounted(t *testing.T) {
	p := practising(t, trainer.KindBlind, 80, 24)
	p.shows("standby") // the rule of the drill is that it begins there
	for p.book.drill.View(p.now).Phase != trainer.PhaseAsk {
		require.NotContains(t, p.picture(screentest.Unicode), "RECORDING")
		require.NotContains(t, p.picture(screentest.Unicode), screentest.Unicode.LightOn)
		p.shows("hidden: keep count")
		if p.book.drill.View(p.now).Phase == trainer.PhaseAct {
			p.flick(300 * ms)
		}
		p.wait(100 * ms)
	}
	p.shows("y yes, n no")
}

func TestTheTallyIsALightOverTheWholeRow(t *testing.T) {
	for state, lit := range map[sim.State]bool{sim.StateRecording: true, sim.StateStarting: false, sim.StateStandby: false} {
		c := term.NewCanvas(40, 2, screentest.Unicode)
		drawTally(c, trainer.View{Tally: state}, "switch: rest")
		for x := range c.Width {
			require.Equal(t, lit, c.At(x, 0).Reverse && c.At(x, 1).Reverse && c.At(x, 0).Role == term.Recording, "%s, column %d", state, x)
		}
	}
}

func TestPracticeFitsAnyScreen(t *testing.T) {
	for _, kind := range append([]trainer.Kind{""}, trainer.Kinds[:8]...) {
		for _, size := range [][2]int{{0, 0}, {1, 1}, {39, 12}, {40, 11}, {40, 12}, {41, 17}, {60, 18}, {200, 60}} {
			p := practising(t, kind, size[0], size[1])
			if kind != "" {
				p.waitFor(trainer.PhaseAct)
				p.flick(300 * ms)
			}
			for range 3 {
				p.wait(500 * ms)
				picture := p.picture(screentest.Unicode)
				if size[0] < term.MinWidth || size[1] < term.MinHeight {
					require.Contains(t, picture+"Practice", "Practice")
					continue
				}
				require.Contains(t, picture, "? help", "%s at %v", kind, size)
			}
			p.press("?")
			p.picture(screentest.ASCII)
		}
	}
}

func TestTheHelpOfPracticeListsEveryKeyOnAnyScreen(t *testing.T) {
	for _, size := range [][2]int{{40, 12}, {80, 24}} {
		p := practising(t, trainer.KindFlick, size[0], size[1])
		lines := append(p.page.help(p.Screen), commonHelp...)
		p.press("?")
		shown := ""
		for p.Screen.help.IsOpen {
			shown += p.picture(screentest.Unicode)
			p.press("right")
		}
		for _, line := range lines {
			require.Contains(t, shown, line.Does, "at %v", size)
		}
		p.shows("p resume") // the help has paused the drill
	}
}
