package report

import (
	"math"

	"flicktally/sim"
)

// gauge draws a hold against the press window on a logarithmic scale, so that a
// window from 80 ms to 1.5 s shows both ends.
type gauge struct {
	WindowX, WindowWidth string // px
	HoldX                string // px; empty where the press was not released
	Inside               bool   // the hold lies in the window
}

// The scale of a gauge goes from the lower threshold divided by the reach to
// the upper one times the reach; a hold beyond it stands at its end.
const (
	gaugeWidth = 120
	gaugeReach = 6
)

func newGauge(w sim.Window, p sim.Press) gauge {
	low, high := float64(max(w.MinPress, sim.Millisecond))/gaugeReach, float64(w.LongPress)*gaugeReach
	x := func(m sim.Micros) float64 {
		at := math.Log(max(float64(m), low)/low) / math.Log(high/low)
		return gaugeWidth * min(at, 1)
	}
	g := gauge{
		WindowX:     coordinate(x(w.MinPress)),
		WindowWidth: coordinate(x(w.LongPress) - x(w.MinPress)),
	}
	if !p.Open() {
		g.HoldX = coordinate(x(p.Hold()))
		g.Inside = p.Hold() >= w.MinPress && p.Hold() < w.LongPress
	}
	return g
}
