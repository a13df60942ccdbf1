package plot

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

func flickOdds() CurveSet {
	return CurveSet{
		Title: "Heron: chance that a flick toggles",
		X:     Axis{Label: "intended hold", Scale: HoldScale},
		Y:     Axis{Label: "chance", Scale: PercentScale, Max: 1},
		Curves: []Curve{
			{Name: "now", Values: []Value{{0, 0, 0, 0.1}, {200_000, 1, 0.9, 1}, {1_600_000, 0.5, 0.4, 0.6}}, Parts: Line | Band},
			{Name: "measured", Values: []Value{{100_000, 0.5, 0.3, 0.7}}, Parts: Points},
		},
		Markers: []Marker{{Name: "min_press 80ms", X: 80_000}, {Name: "long_press 1.5s", X: 1_500_000}, {Name: "safe", X: 200_000, To: 1_400_000}},
	}
}

func TestCurvesGoThroughTheirPoints(t *testing.T) {
	c, err := Curves(flickOdds(), Look{})
	require.NoError(t, err)
	d := readBack(t, c)
	x0, x1 := d.text(t, "0").centre(), d.text(t, "1000").centre()
	y0, y1 := d.text(t, "0 %").centre(), d.text(t, "100 %").centre()

	var drawn bool
	for _, p := range d.paths {
		if p.style["stroke"] == strings.ToUpper(light.series(0).Hex()) && len(p.runs[0]) == 3 {
			drawn = true
			peak := p.runs[0][1]
			assert.InDelta(t, float64(x0.X+0.2*(x1.X-x0.X)), float64(peak.X), float64(pixel))
			assert.InDelta(t, float64(y1.Y-y0.Y), float64(peak.Y-p.runs[0][0].Y), float64(pixel))
		}
	}
	assert.True(t, drawn)
	for _, words := range []string{"now", "measured", "intended hold, ms", "min_press 80ms", "long_press 1.5s", "safe"} {
		assert.Contains(t, d.allText(), words)
	}
	requireReadable(t, d, "curves")
}

func TestCurvesRefuseValuesThatAreNotFinite(t *testing.T) {
	for name, curve := range map[string]Curve{
		"not a number": {Name: "odd", Values: []Value{{math.NaN(), 1, 1, 1}}, Parts: Line},
		"infinite":     {Name: "odd", Values: []Value{{1, 1, 0, math.Inf(1)}}, Parts: Points},
	} {
		_, err := Curves(CurveSet{Curves: []Curve{curve}}, Look{})
		assert.ErrorContains(t, err, `in the curve "odd", want finite values`, name)
	}
	_, err := Curves(CurveSet{Title: "bare"}, Look{})
	assert.EqualError(t, err, `found no values to draw in "bare"`)
}

func TestOneDayIsADayOnItsAxis(t *testing.T) {
	const day = 1_800_057_600 // 2027-01-16 00:00 UTC
	c, err := Curves(CurveSet{X: Axis{Scale: DateScale}, Y: Axis{Scale: PercentScale, Max: 1}, Curves: []Curve{{Values: []Value{{day, 0.9, 0.8, 0.95}}, Parts: Points}}}, Look{})
	require.NoError(t, err)
	assert.Contains(t, readBack(t, c).allText(), "2027-01-16")
}

func TestHoldsAreInTheirBins(t *testing.T) {
	camera := heron().Camera
	camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	set := HoldSet{Title: "Heron: holds", Camera: camera, Holds: []Held{
		{Hold: 30 * ms, Look: lanes.Short}, {Hold: 210 * ms, Look: lanes.Toggled}, {Hold: 215 * ms, Look: lanes.Busy},
		{Hold: 230 * ms, Look: lanes.Toggled, Doubt: true}, {Hold: 1600 * ms, Look: lanes.Long}, {Hold: 9 * sim.Second, Look: lanes.Long},
	}}
	h := newHistogram(set)
	for _, threshold := range []sim.Micros{60 * ms, 110 * ms, 1500 * ms} {
		assert.Contains(t, h.edges, threshold, "no bar spans a threshold")
	}
	assert.Equal(t, 6, sum(h), "every hold is counted")
	assert.Equal(t, 1, h.beyond)

	c, err := Holds(set, Look{})
	require.NoError(t, err)
	d := readBack(t, c)
	y1 := d.text(t, "1").centre().Y
	y0 := 2*y1 - d.text(t, "2").centre().Y
	for look, want := range map[lanes.Look]int{lanes.Short: 1, lanes.Toggled: 2, lanes.Busy: 1, lanes.Long: 2} {
		total := 0.0
		for _, bar := range d.filled(look) {
			if height := bar.Size().Y; height > zoneStrip+1 && bar.Max.X-bar.Min.X < 60 && bar.Min.Y >= y0-1 {
				total += math.Round(float64(height / (y1 - y0)))
			}
		}
		assert.InDelta(t, want, total, 0.1, look.Name())
	}
	for _, words := range []string{
		"short", "short or toggles", "toggles", "long", "The last bar also counts the holds of 2300 ms and more: 1 of 6.",
		"A dashed frame marks presses whose outcome is doubtful: 1 of 6.", "busy",
	} {
		assert.Contains(t, d.allText(), words)
	}
	requireReadable(t, d, "holds")
}

func sum(h histogram) (all int) {
	for _, c := range h.counts {
		all += c.Total
	}
	return all
}

func TestHoldsRefuseAnEmptySet(t *testing.T) {
	_, err := Holds(HoldSet{}, Look{})
	assert.EqualError(t, err, "found no finished press, so there are no holds to draw")
}

func TestTakesAreAtTheirTimes(t *testing.T) {
	var flights []flight.Flight
	for name, holds := range map[string][]sim.Micros{"start line": {280 * ms, 280 * ms}, "mark rounding": {280 * ms, 280 * ms, 60 * ms, 280 * ms}} {
		r, _ := flicks(heron(), 10*sim.Second, holds...)
		flights = append(flights, flight.Flight{Label: name, Replay: r, Findings: tell.Findings(r, tell.DefaultLimits())})
	}
	c, err := Takes("3 of 6 flicks toggled", "Heron", flights, Look{})
	require.NoError(t, err)
	d := readBack(t, c)
	requireReadable(t, d, "takes")
	x := clockScale(t, d, "0:00", 0, "0:30", 30*sim.Second)
	var want, drawn []float64
	for _, f := range flights {
		for _, take := range f.Replay.Takes {
			want = append(want, float64(x(take.Start)))
		}
	}
	for _, area := range d.filled(lanes.Recording) {
		drawn = append(drawn, float64(area.Min.X))
	}
	assert.InDeltaSlice(t, want, drawn, float64(pixel))
	for _, words := range []string{"start line", "mark rounding", "takes: 1", "takes: 2", "short", "armed"} {
		assert.Contains(t, d.allText(), words)
	}

	_, err = Takes("none", "", nil, Look{})
	assert.EqualError(t, err, "found no flight to draw")
}

func TestManyFlightsFitOrAreRefused(t *testing.T) {
	r, _ := flicks(heron(), 10*sim.Second, 280*ms)
	_, err := Takes("a season", "", make300(r), Look{})
	require.NoError(t, err)
	_, err = Takes("all seasons", "", append(make300(r), make300(r)...), Look{})
	assert.ErrorContains(t, err, "pixels high, want at most 20000")
}

func make300(r *sim.Replay) []flight.Flight {
	flights := make([]flight.Flight, 300)
	for i := range flights {
		flights[i] = flight.Flight{Label: "race", Replay: r}
	}
	return flights
}
