package plot

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"flicktally/sim"
	"flicktally/sim/lanes"
)

func TestSeriesDifferWithoutColour(t *testing.T) {
	for i := range dashesOf {
		for j := range i {
			assert.NotEqual(t, dashesOf[i], dashesOf[j])
			assert.NotEqual(t, shapeOf[i], shapeOf[j])
		}
	}
	assert.Len(t, light.Series, len(dashesOf))
}

// allOutcomes is a row with a sign for every outcome, each 10 s after the one
// before.
func allOutcomes() (*lanes.Lane, *sim.Replay) {
	r := &sim.Replay{Rig: heron(), End: 10 * sim.Second * sim.Micros(len(sim.FlickOutcomes))}
	for i, outcome := range sim.FlickOutcomes {
		down := 5*sim.Second + 10*sim.Second*sim.Micros(i)
		r.Flicks = append(r.Flicks, sim.Flick{N: i + 1, Down: down, Up: down + 200*ms, Outcome: outcome})
	}
	picture := lanes.Of(r, nil, false)
	return picture.Lane(lanes.Flicks, ""), r
}

// In grey, outcomes can be told apart by their signs: no two agree in nine tenths
// of their pixels, and each is at least 8 pixels wide or high.
func TestSignsDifferInAGreyPicture(t *testing.T) {
	row, r := allOutcomes()
	for _, look := range []Look{{}, {Dark: true}} {
		c, err := Timing(r, nil, nil, TimingView{Look: look})
		require.NoError(t, err)
		picture, err := png.Decode(bytes.NewReader(written(t, c, pngFile)))
		require.NoError(t, err)
		d := readBack(t, c)
		x := clockScale(t, d, "0:10", 10*sim.Second, "1:00", 60*sim.Second)
		name := d.text(t, "1: 200 ms").centre()
		middle := vg.Point{Y: name.Y - numberRow/2 - signRow/2}
		var signs [][]float64
		for i := range row.Spans {
			middle.X = x(row.Spans[i].From)
			signs = append(signs, greyAround(picture, d, middle))
			high, wide := sizeOf(signs[i], float64(greyOf(look.theme().Paper.Paper)))
			assert.GreaterOrEqual(t, max(high, wide), 8, row.Label(i).Look.Name())
		}
		for i := range signs {
			for j := range i {
				assert.Less(t, agreement(signs[i], signs[j]), 0.9, "%s and %s", row.Label(i).Look.Name(), row.Label(j).Look.Name())
			}
		}
	}
}

// side is the side in pixels of the square around a sign.
const side = 18

type at interface{ At(x, y int) color.Color }

func greyOf(c color.Color) uint8 { return color.GrayModel.Convert(c).(color.Gray).Y }

// greyAround returns the grey values around a place of a drawing.
func greyAround(picture at, d drawing, middle vg.Point) []float64 {
	x0, y0 := int(math.Round(float64(middle.X/pixel)))-side/2, int(math.Round(float64((d.height-middle.Y)/pixel)))-side/2
	grey := make([]float64, 0, side*side)
	for y := range side {
		for x := range side {
			grey = append(grey, float64(greyOf(picture.At(x0+x, y0+y))))
		}
	}
	return grey
}

// sizeOf returns the height and width of what is not paper.
func sizeOf(grey []float64, paper float64) (high, wide int) {
	top, bottom, left, right := side, -1, side, -1
	for i, g := range grey {
		if math.Abs(g-paper) > 40 {
			top, bottom = min(top, i/side), max(bottom, i/side)
			left, right = min(left, i%side), max(right, i%side)
		}
	}
	return bottom - top + 1, right - left + 1
}

// agreement returns the share of the pixels of either sign that differ by less
// than a seventh of the grey scale.
func agreement(a, b []float64) float64 {
	same, all := 0, 0
	for i := range a {
		if a[i] == a[0] && b[i] == b[0] {
			continue
		}
		all++
		if math.Abs(a[i]-b[i]) < 38 {
			same++
		}
	}
	return float64(same) / float64(max(1, all))
}
