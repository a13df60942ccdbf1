package lanes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// The values on white of the formula of WCAG 2.1 ("relative luminance",
// "contrast ratio"), computed apart from this code.
func TestContrastIsThatOfWCAG(t *testing.T) {
	for colour, want := range map[RGB]float64{
		0x000000: 21, 0x767676: 4.5422, 0x0072B2: 5.1854, 0xD55E00: 3.8672, 0x009E73: 3.4211, 0x56B4E9: 2.3075,
	} {
		assert.InDelta(t, want, contrast(colour, 0xFFFFFF), 5e-5, colour.Hex())
	}
}

var papers = map[string]Paper{"light": Light, "dark": Dark}

// WCAG 2.1 wants 4.5 for text (1.4.3) and 3 for graphics that carry meaning
// (1.4.11).
func TestTextAndLinesStandOut(t *testing.T) {
	for name, p := range papers {
		for _, ground := range []RGB{p.Paper, p.Panel, p.Range} {
			assert.GreaterOrEqual(t, contrast(p.Ink, ground), 4.5, "%s: ink on %s", name, ground.Hex())
			assert.GreaterOrEqual(t, contrast(p.Trace, ground), 3.0, "%s: trace on %s", name, ground.Hex())
		}
		for _, text := range []RGB{p.Quiet, p.Alarm} {
			assert.GreaterOrEqual(t, contrast(text, p.Paper), 4.5, "%s: text %s", name, text.Hex())
			assert.GreaterOrEqual(t, contrast(text, p.Panel), 4.5, "%s: text %s on a panel", name, text.Hex())
		}
		assert.GreaterOrEqual(t, contrast(p.Frame, p.Paper), 3.0, name)
		for _, line := range p.Series {
			assert.GreaterOrEqual(t, contrast(line, p.Paper), 3.0, "%s: series %s", name, line.Hex())
		}
		for l := range Looks {
			assert.GreaterOrEqual(t, contrast(p.On(p.Fill(l)), p.Fill(l)), 4.5, "%s: text on %s", name, l.Name())
			assert.GreaterOrEqual(t, contrast(p.Line(l), p.Paper), 3.0, "%s: line of %s", name, l.Name())
		}
	}
	for l := range Looks {
		for _, ground := range []RGB{0x000000, 0xFFFFFF} {
			assert.GreaterOrEqual(t, contrast(l.Anywhere(), ground), 3.0, "%s in a terminal", l.Name())
		}
	}
}

// lightness is L* of CIE 1976, 0 to 100, from the luminance (ISO/CIE 11664-4).
func lightness(c RGB) float64 {
	y := c.luminance()
	if y > 216.0/24389 {
		return 116*math.Cbrt(y) - 16
	}
	return y * 24389 / 27
}

func TestLightnessIsThatOfCIE(t *testing.T) {
	// 18 % grey has L* 49.496; white has 100: ISO/CIE 11664-4, by its formula.
	assert.InDelta(t, 100, lightness(0xFFFFFF), 1e-9)
	assert.InDelta(t, 53.585, lightness(0x808080), 0.01) // sRGB middle grey, Y = 0.2159
}

// In grey, outcomes of flicks differ by 15 in lightness, or by hatch and shape;
// so do the states of the camera, which have no shapes.
func TestLooksDifferInGrey(t *testing.T) {
	states := []Look{Recording, starting, stopping, standby, booting, cameraOff, cameraUnknown}
	for name, p := range papers {
		for _, looks := range [][]Look{Outcomes, states} {
			for i, a := range looks {
				for _, b := range looks[:i] {
					apart := math.Abs(lightness(p.Fill(a)) - lightness(p.Fill(b)))
					hatched := a.Entry().Hatch != b.Entry().Hatch
					assert.True(t, apart >= 15 || hatched, "%s: %s and %s are %.0f apart", name, a.Name(), b.Name(), apart)
				}
			}
		}
	}
	for i, a := range Outcomes {
		for _, b := range Outcomes[:i] {
			assert.NotEqual(t, a.Entry().Shape, b.Entry().Shape, "%s and %s", a.Name(), b.Name())
			assert.NotEqual(t, a.Entry().Letter, b.Entry().Letter, "%s and %s", a.Name(), b.Name())
			assert.NotEqual(t, a.Entry().Sign, b.Entry().Sign, "%s and %s", a.Name(), b.Name())
		}
	}
}

func TestEveryStateAndVerdictHasALook(t *testing.T) {
	for _, s := range []sim.State{
		sim.StateOff, sim.StateBooting, sim.StateStandby, sim.StateStarting, sim.StateRecording, sim.StateStopping, sim.StateUnknown,
	} {
		assert.Equal(t, string(s), stateLook(s).Name())
	}
	seen := map[Look]bool{}
	for _, o := range sim.FlickOutcomes {
		look := outcomeLooks[o]
		require.Equal(t, string(o), look.Name())
		require.Contains(t, Outcomes, look)
		seen[look] = true
	}
	assert.Len(t, seen, len(Outcomes))
}

func TestShapesAreInTheirBox(t *testing.T) {
	for _, l := range Outcomes {
		require.NotEmpty(t, l.Entry().Shape, l.Name())
		for _, f := range l.Entry().Shape {
			for _, p := range f.Points {
				assert.LessOrEqual(t, math.Abs(p.X), 1.5, l.Name())
				assert.LessOrEqual(t, math.Abs(p.Y), 1.1, l.Name())
			}
		}
	}
}
