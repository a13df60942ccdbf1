package practice

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer"
)

func TestTheToneChangesAtTheAimAndFadesOut(t *testing.T) {
	sounds := func(level int) (at []sim.Micros) {
		for upTo := sim.Micros(-1); ; {
			if upTo = toneAfter(upTo, 600*ms, level); upTo == sim.Never {
				return at
			}
			at = append(at, upTo)
		}
	}
	easy := sounds(0)
	require.Equal(t, []sim.Micros{0, 250 * ms, 500 * ms, 600 * ms, 700 * ms, 800 * ms}, easy[:6])
	require.Equal(t, 1600*ms, easy[len(easy)-1], "it ends for a switch that is left pressed")
	require.Equal(t, []sim.Micros{600 * ms}, sounds(toneAimOnly))
	require.Empty(t, sounds(toneSilent))
}

func TestTheToneSoundsWhileTheSwitchIsPressed(t *testing.T) {
	rings := func(on bool) (n int) {
		p := practising(t, trainer.KindFlick, 80, 24, func(o *Options) { o.Tone = on })
		p.waitFor(trainer.PhaseAct)
		p.Ring()
		p.press("space")
		for range 350 {
			if p.Ring() {
				n++
			}
			p.wait(ms)
		}
		p.press("space")
		p.Ring()
		for range 300 {
			p.wait(ms)
			require.False(t, p.Ring(), "it ends with the press")
		}
		return n
	}
	require.Equal(t, 2, rings(true), "at the press and after a quarter of a second; the aim is as long as the hold")
	require.Zero(t, rings(false))
}
