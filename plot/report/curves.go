package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// maxRuns is the most runs of equal values in the channel's trace.
const maxRuns = 2000

// curve is drawn in ticks and in units of its own. Transform turns these into px
// of its lane.
type curve struct {
	Class, Transform, Path string
}

// addChannel draws the channel's value over the press ranges.
func (d *drawing) addChannel(placed *lane, p *flight.Flight) {
	scale, press := lanes.ScaleOf(p.Trace.Extremes()), p.Replay.Rig.Switch.Press
	height := float64(placed.Height)
	y := func(v sim.PulseWidth) int { return int(math.Round(height * (1 - scale.Share(v)))) }
	for _, r := range press {
		if top, bottom := y(r.High), y(r.Low); top < bottom {
			placed.Bands = append(placed.Bands, mark{Y: top, Height: bottom - top, Class: "range", Title: "press range " + tell.Ranges([]sim.PulseRange{r})})
		}
	}
	for _, v := range scale.Values(press, 12/height) {
		placed.Scale = append(placed.Scale, scaleText{y(v.At), v.Text})
	}
	placed.Same = []string{"µs"}
	perPx := float64(scale.High-scale.Low) / height
	placed.Curve = &curve{
		Class:     "trace",
		Transform: fmt.Sprintf("scale(1 %.6g) translate(0 %.6g)", -1/perPx, -float64(scale.High)),
		Path:      d.tracePath(lanes.Runs(p.Trace.Bins(), maxRuns)),
	}
}

// tracePath draws each run as the box of its values, "M from low H to V high H
// from Z", which the page's script reads, and joins neighbours that do not touch.
func (d *drawing) tracePath(runs []sim.TraceBin) string {
	var path strings.Builder
	value := func(v sim.PulseWidth) string { return strconv.FormatFloat(math.Round(float64(v)), 'g', 6, 64) }
	for i, r := range runs {
		if r.Absent() {
			continue
		}
		from, to := d.ticks(r.From), min(d.ticks(r.To), d.Ticks)
		fmt.Fprintf(&path, "M%d %sH%dV%sH%dZ", from, value(r.Low), to, value(r.High), from)
		if i == 0 || runs[i-1].Absent() {
			continue
		}
		switch before := runs[i-1]; {
		case before.High < r.Low:
			fmt.Fprintf(&path, "M%d %sV%s", from, value(before.High), value(r.Low))
		case before.Low > r.High:
			fmt.Fprintf(&path, "M%d %sV%s", from, value(before.Low), value(r.High))
		}
	}
	return path.String()
}

// addChance draws the chance that the camera records, from 0 to 1.
func (d *drawing) addChance(placed *lane, belief []sim.BeliefStretch) {
	placed.Same = []string{"how likely"}
	placed.Scale = []scaleText{{4, "100 %"}, {placed.Height - 4, "0 %"}}
	placed.Curve = &curve{
		Class:     "chance",
		Transform: fmt.Sprintf("translate(0 %d) scale(1 %d)", placed.Height, -placed.Height),
		Path:      d.chancePath(belief),
	}
}

// chancePath draws the area under the chance. If there are many stretches, it
// draws those too short to distinguish as one, as high as the highest.
func (d *drawing) chancePath(belief []sim.BeliefStretch) string {
	var path strings.Builder
	narrow := d.Ticks / (2 * maxMarks)
	value := func(chance float64) string { return strconv.FormatFloat(chance, 'g', 4, 64) }
	for i := 0; i < len(belief); {
		b := belief[i]
		from, to, low, high := d.ticks(b.From), d.ticks(b.To), b.Recording, b.RecordingTo
		for i++; len(belief) > maxMarks && i < len(belief) && d.ticks(belief[i].To)-from <= narrow; i++ {
			peak := max(low, high, belief[i].Recording, belief[i].RecordingTo)
			to, low, high = d.ticks(belief[i].To), peak, peak
		}
		fmt.Fprintf(&path, "M%d 0V%sL%d %sV0Z", from, value(low), to, value(high))
	}
	return path.String()
}
