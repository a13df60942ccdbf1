package main

import (
	"fmt"
	"io"
	"math"
	"slices"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/excerpt"
)

// The part of the readable report about what is not known.

func (t *talk) printKnown(f flight) {
	t.printClips(f)
	if f.Replay.Belief == nil {
		return
	}
	fmt.Fprintln(t.out)
	t.heading("what is not known")
	t.table(func(w io.Writer) {
		for _, line := range knownLines(f) {
			fmt.Fprintln(w, line)
		}
	})
	if lines := narrowedKeys(f); len(lines) > 0 {
		fmt.Fprintln(t.out)
		t.heading("narrowed down, for the rig file")
		fmt.Fprintln(t.out, "  [camera]")
		for _, line := range lines {
			fmt.Fprintln(t.out, "  "+line)
		}
	}
}

// knownLines tells what may be, the chance of recording where it is open, and
// what to ask next.
func knownLines(f flight) []string {
	k, camera := f.Known, f.Replay.Rig.Camera
	lines := []string{
		"min_press\t" + possible(k.MinPress, camera.MinPress),
		"long_press\t" + possible(k.LongPress, camera.LongPress),
	}
	if camera.Start == sim.StartUnknown {
		lines = append(lines, "at the start\trecording with a chance of "+sim.ChanceText(k.StartRecording))
	}
	shown := "shown is that one"
	if f.Replay.StateAt(0) == sim.StateUnknown {
		shown = "none is shown, as nothing tells how the camera began"
	}
	lines = append(lines, fmt.Sprintf("courses of events\t%d, the likeliest with a chance of %s; %s",
		len(k.Cells), sim.ChanceText(k.Cells[0].Chance), shown))
	for i, b := range openStretches(f.Replay.Belief) {
		lines = append(lines, fmt.Sprintf("%s\t%s to %s  %s", onlyFirst(i, "recording"), b.From.Clock(), b.To.Clock(), b.ChanceText()))
	}
	for i, q := range k.Ask {
		lines = append(lines, onlyFirst(i, "to settle most")+"\t"+question(q))
	}
	return lines
}

// possible tells what is left of a range.
func possible(left, rig sim.Interval) string {
	if left == rig {
		return rig.String()
	}
	return fmt.Sprintf("%s (the rig says %s)", left, rig)
}

// openStretches returns the stretches in which it is open whether the camera
// recorded.
func openStretches(all []sim.BeliefStretch) []sim.BeliefStretch {
	return slices.DeleteFunc(slices.Clone(all), func(b sim.BeliefStretch) bool {
		return b.Recording == b.RecordingTo && (b.Recording == 0 || b.Recording == 1)
	})
}

func question(q belief.Question) string {
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

// narrowedKeys returns the rig file's lines for what is known better than the
// rig says.
func narrowedKeys(f flight) []string {
	if f.Known.Unexplained > 0 {
		return nil
	}
	var lines []string
	add := func(key string, left, rig sim.Interval) {
		if left != rig {
			lines = append(lines, fmt.Sprintf("%s = [%q, %q]", key, left.Low, left.High))
		}
	}
	add("min_press", f.Known.MinPress, f.Replay.Rig.Camera.MinPress)
	add("long_press", f.Known.LongPress, f.Replay.Rig.Camera.LongPress)
	return lines
}

// printClips tells which clip is which take.
func (t *talk) printClips(f flight) {
	if f.Known.Pairs == nil {
		return
	}
	fmt.Fprintln(t.out)
	t.heading("clips")
	t.table(func(w io.Writer) {
		fmt.Fprintln(w, "clip\tname\tlength\ttake\tits length\toff by")
		for _, p := range f.Known.Pairs {
			clip, name, length := "-", "", "-"
			if p.Clip > 0 {
				c := f.Clips[p.Clip-1]
				clip, name, length = fmt.Sprint(p.Clip), excerpt.Printable(c.Name), c.Length.Readable()
			}
			take, itsLength, off := "none", "-", "-"
			if p.Take > 0 {
				k := f.Replay.Takes[p.Take-1]
				take, itsLength = fmt.Sprint(p.Take), k.Length().Readable()
				if p.Clip > 0 {
					off = signed(f.Clips[p.Clip-1].Length - k.Length())
				} else {
					clip = "missing"
				}
			}
			fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\n", clip, name, length, take, itsLength, off)
		}
	})
}

func signed(m sim.Micros) string {
	text := sim.Micros(math.Abs(float64(m))).Rounded()
	if m < 0 {
		return "−" + text
	}
	return "+" + text
}
