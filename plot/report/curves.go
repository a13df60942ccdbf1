package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/tell"
)

const (
	channelHeight = 92
	chanceHeight  = 36
	// maxRuns is how many stretches of different values the channel's trace has
	// at most.
	maxRuns = 2000
)

// run is a stretch over which the trace shows one lowest and one highest value.
type run = sim.TraceBin

// channelLane shows the channel's value over the press ranges, and where the
// signal is lost.
func channelLane(p Part) lanePlan {
	runs := traceRuns(p.Trace)
	view := channelView(runs)
	perPx := float64(view.High-view.Low) / channelHeight
	y := func(v sim.PulseWidth) int { return int(math.Round(float64(view.High-v) / perPx)) }
	plan := lanePlan{
		name: "channel", unit: "µs", height: channelHeight, gap: laneGap, text: textInside,
		curve: func(d *drawing) *curve {
			return &curve{
				Class:     "trace",
				Transform: fmt.Sprintf("scale(1 %.6g) translate(0 %.6g)", -1/perPx, -float64(view.High)),
				Path:      tracePath(d, runs),
			}
		},
	}
	if p.Replay.Tap == sim.TapOutput {
		plan.name = "output"
	}
	for _, press := range p.Replay.Rig.Switch.Press {
		top, bottom := y(min(press.High, view.High)), y(max(press.Low, view.Low))
		if top < bottom {
			plan.bands = append(plan.bands, rect{Y: top, Height: bottom - top, Class: "range",
				Title: "press range " + tell.Ranges([]sim.PulseRange{press})})
		}
	}
	plan.scale = channelScale(p.Replay.Rig.Switch.Press, view, y)
	plan.spans = p.Replay.Lost
	plan.mark = func(i int) mark {
		return mark{Class: classLost, Title: "no signal " + spanText(plan.spans[i]), Text: "no signal"}
	}
	return plan
}

// channelView returns the values that the lane shows: those of the trace and
// the usual ones around 1000 to 2000 µs.
func channelView(runs []run) sim.PulseRange {
	view := sim.PulseRange{Low: 900, High: 2100}
	for _, r := range runs {
		if !r.Absent() {
			view.Low, view.High = min(view.Low, r.Low), max(view.High, r.High)
		}
	}
	return view
}

// channelScale names the ends of the press ranges, and the ends and the centre
// of the usual travel where they leave room.
func channelScale(press []sim.PulseRange, view sim.PulseRange, y func(sim.PulseWidth) int) []scaleText {
	const lineHeight = 11
	var texts []scaleText
	add := func(v sim.PulseWidth) {
		if v < view.Low || v > view.High {
			return
		}
		for _, t := range texts {
			if at := y(v); at > t.Y-lineHeight && at < t.Y+lineHeight {
				return
			}
		}
		texts = append(texts, scaleText{y(v), strconv.FormatFloat(float64(v), 'g', 6, 64)})
	}
	for _, r := range press {
		add(r.Low)
		add(r.High)
	}
	for _, v := range []sim.PulseWidth{1000, 2000, 1500} {
		add(v)
	}
	return texts
}

// traceRuns joins neighbours of equal values, and then in pairs until few
// enough are left.
func traceRuns(bins []sim.TraceBin) []run {
	runs := joinEqual(bins)
	for len(runs) > maxRuns {
		pairs := make([]run, 0, (len(runs)+1)/2)
		for i := 0; i < len(runs); i += 2 {
			pair := runs[i]
			if i+1 < len(runs) {
				pair = joined(pair, runs[i+1])
			}
			pairs = append(pairs, pair)
		}
		runs = joinEqual(pairs)
	}
	return runs
}

func joinEqual(bins []run) []run {
	var runs []run
	for _, b := range bins {
		if n := len(runs); n > 0 && sameValues(runs[n-1], b) {
			runs[n-1].To = b.To
		} else {
			runs = append(runs, b)
		}
	}
	return runs
}

func sameValues(a, b run) bool {
	return a.Absent() && b.Absent() || a.Low == b.Low && a.High == b.High
}

// joined returns the stretch of both; a value wins over its absence.
func joined(a, b run) run {
	switch {
	case a.Absent():
		a.Low, a.High = b.Low, b.High
	case !b.Absent():
		a.Low, a.High = min(a.Low, b.Low), max(a.High, b.High)
	}
	a.To = b.To
	return a
}

// tracePath draws each run as the box of its values, "M from low H to V high H
// from Z", which the script of the page reads back, and joins neighbours whose
// values are apart.
func tracePath(d *drawing, runs []run) string {
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

// chanceLane shows the chance that the camera records, as a strip from 0 to 1.
func chanceLane(r *sim.Replay) lanePlan {
	plan := lanePlan{
		name: "recording chance", height: chanceHeight, gap: laneGap,
		scale: []scaleText{{0, "100 %"}, {chanceHeight, "0 %"}},
	}
	for _, b := range r.Belief {
		plan.spans = append(plan.spans, sim.Span{From: b.From, To: b.To})
	}
	plan.mark = func(i int) mark {
		return mark{Class: classChance, Title: "chance of recording " + tell.ChanceOver(r.Belief[i]) + ", " + spanText(plan.spans[i])}
	}
	plan.curve = func(d *drawing) *curve {
		return &curve{
			Class:     classChance,
			Transform: fmt.Sprintf("translate(0 %d) scale(1 %d)", chanceHeight, -chanceHeight),
			Path:      chancePath(d, r.Belief),
		}
	}
	return plan
}

// chancePath draws the area under the chance. Where there are many stretches,
// those too short to be told apart are drawn as one, as high as the highest.
func chancePath(d *drawing, belief []sim.BeliefStretch) string {
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
