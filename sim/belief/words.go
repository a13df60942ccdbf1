package belief

import (
	"fmt"
	"slices"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Line is a line of the posterior in words.
type Line struct {
	Name string // empty if the line continues the one before
	Text string
}

// Lines describes the possible thresholds and histories, the chance of recording
// where it is open, and the observations that would reduce the doubt most. It is
// nil if nothing is unknown.
func (r *Result) Lines() []Line {
	if r.Replay.Belief == nil {
		return nil
	}
	camera := r.Replay.Rig.Camera
	if allKnown(camera) && r.cells == nil && len(r.openStretches()) == 0 && len(r.Ask) == 0 {
		return nil // the observations agree with what is known
	}
	lines := []Line{
		{"min_press", possible(r.MinPress, camera.MinPress)},
		{"long_press", possible(r.LongPress, camera.LongPress)},
	}
	if camera.Start == sim.StartUnknown {
		lines = append(lines, Line{"at the start", "recording with a chance of " + tell.Chance(r.StartRecording)})
	}
	if r.Likeliest > 0 {
		lines = append(lines, Line{"possible histories", r.historiesText()})
	}
	var open, asked []string
	for _, b := range r.openStretches() {
		open = append(open, fmt.Sprintf("%s to %s  %s", b.From.Clock(), b.To.Clock(), tell.ChanceOver(b)))
	}
	for _, q := range r.Ask {
		asked = append(asked, q.Text())
	}
	return slices.Concat(lines, under("recording", open), under("to settle most", asked))
}

// under returns lines that share one name.
func under(name string, texts []string) []Line {
	var lines []Line
	for _, text := range texts {
		lines = append(lines, Line{name, text})
		name = ""
	}
	return lines
}

func (r *Result) historiesText() string {
	shown := "that one is shown"
	if r.Replay.StateAt(0) == sim.StateUnknown {
		shown = "none is shown, as " + tell.StartUnknown
	}
	switch likeliest := tell.Chance(r.Likeliest); {
	case r.Histories == 0:
		return fmt.Sprintf("the likeliest has a chance of %s; %s", likeliest, shown)
	case r.cells == nil:
		return fmt.Sprintf("%d by the thresholds and the start alone, the likeliest with a chance of %s; %s", r.Histories, likeliest, shown)
	default:
		return fmt.Sprintf("%d, the likeliest with a chance of %s; %s", r.Histories, likeliest, shown)
	}
}

// possible describes what is left of the rig's range of a threshold.
func possible(left, rig sim.Interval) string {
	if left = outward(left, rig, sim.Millisecond); left != rig {
		return fmt.Sprintf("%s (the rig says %s)", left.Rounded(), rig.Rounded())
	}
	return rig.Rounded()
}

// outward rounds what is left of the rig's range outward, within that range.
func outward(left, rig sim.Interval, step sim.Micros) sim.Interval {
	left = left.Outward(step)
	return sim.Interval{Low: max(rig.Low, left.Low), High: min(rig.High, left.High)}
}

// openStretches returns the stretches in which it is not certain whether the camera
// recorded; if every press is in some doubt, in which it is not 95 % certain.
func (r *Result) openStretches() []sim.BeliefStretch {
	sure := 0.0
	if r.cells == nil {
		sure = 1 - certainFrom
	}
	settled := func(chance float64) bool { return chance <= sure || chance >= 1-sure }
	var open []sim.BeliefStretch
	for _, b := range r.Replay.Belief {
		same := settled(b.Recording) && (b.Recording > 0.5) == (b.RecordingTo > 0.5)
		if settled(b.Recording) && settled(b.RecordingTo) && same {
			continue
		}
		if n := len(open); n > 0 && open[n-1].To == b.From && tell.ChanceOver(open[n-1]) == tell.ChanceOver(b) {
			open[n-1].To = b.To
			continue
		}
		open = append(open, b)
	}
	return open
}

// Text returns the question in words, with its gain.
func (q Question) Text() string {
	worth := fmt.Sprintf(" (worth %.2f bit)", q.Gain)
	switch {
	case q.CountClips:
		return "how many files are on the card?" + worth
	case q.From == q.To:
		return "what did the light show at " + q.At.Clock() + "?" + worth
	default:
		return fmt.Sprintf("what did the light show at some time from %s to %s?%s", q.From.Clock(), q.To.Clock(), worth)
	}
}

// NarrowedKeys returns lines for the [camera] table of a rig file, for thresholds
// whose range is narrower than the rig's; none if an observation had to be given
// up.
func (r *Result) NarrowedKeys() []string {
	if r.Unexplained > 0 {
		return nil
	}
	var lines []string
	add := func(key string, left, rig sim.Interval) {
		if left = outward(left, rig, 100*sim.Microsecond); left != rig {
			lines = append(lines, fmt.Sprintf("%s = [%q, %q]", key, left.Low, left.High))
		}
	}
	add("min_press", r.MinPress, r.Replay.Rig.Camera.MinPress)
	add("long_press", r.LongPress, r.Replay.Rig.Camera.LongPress)
	return lines
}

// ClipRow describes the match of a clip with a take in words.
type ClipRow struct {
	Clip   string // its number; "missing" for a take without a file
	Name   string // as in the list: may be unprintable
	Length string
	Take   string // its number; "none" for a clip without a take
	Its    string // the take's length
	Off    string // the clip's length minus the take's
}

// ClipRows describes the matches of the observed clips.
func (r *Result) ClipRows(clips []Clip) []ClipRow {
	var rows []ClipRow
	for _, p := range r.Pairs {
		row := ClipRow{Clip: "missing", Length: "-", Take: "none", Its: "-", Off: "-"}
		if p.Clip > 0 {
			c := clips[p.Clip-1]
			row.Clip, row.Name, row.Length = fmt.Sprint(p.Clip), c.Name, c.lengthText()
		}
		if p.Take > 0 {
			k := r.Replay.Takes[p.Take-1]
			row.Take, row.Its = fmt.Sprint(p.Take), k.Length().Readable()
			if p.Clip > 0 && !clips[p.Clip-1].NoLength {
				row.Off = signed(clips[p.Clip-1].Length - k.Length())
			}
		}
		rows = append(rows, row)
	}
	return rows
}

func signed(m sim.Micros) string {
	if m < 0 {
		return "−" + (-m).Rounded()
	}
	return "+" + m.Rounded()
}
