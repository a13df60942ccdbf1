package trainer

import (
	"fmt"

	"flicktally/sim"
)

// Result is one trial of a drill. Times count from the start of the drill.
type Result struct {
	N     int // from 1, in order of time
	Kind  Kind
	Level int
	Began sim.Micros // the first press of it, or its cue where there was none
	Ended sim.Micros
	// Right: the camera did what was asked, or the answer was right, or the
	// switch was left alone.
	Right bool
	// Within: right, and off by no more than Tolerance. It moves the level.
	Within bool
	// Uncounted marks a trial that an input too coarse, or a camera that was
	// off, decided. It counts nowhere.
	Uncounted bool
	// Cold marks the day's first flick. It counts by itself only.
	Cold bool
	// Scored says that Off is known: how much too long or too late (or, below
	// 0, too short or too early) it was; 0 if below the resolution of the
	// input.
	Scored         bool
	Off, Tolerance sim.Micros
	Words          string // the verdict
}

// Counts reports whether the trial counts for rates, level and reliability.
func (r Result) Counts() bool { return !r.Uncounted && !r.Cold }

// score sets Off, and Within for a trial that is right.
func (r *Result) score(off, tolerance, resolution sim.Micros) {
	if max(off, -off) < resolution {
		off = 0
	}
	r.Scored, r.Off, r.Tolerance = true, off, tolerance
	r.Within = r.Right && max(off, -off) <= tolerance
}

// offWords says how far off a trial was, with the words for more and less.
func offWords(off sim.Micros, more, less string) string {
	switch {
	case off > 0:
		return fmt.Sprintf("%s %s", seconds(off), more)
	case off < 0:
		return fmt.Sprintf("%s %s", seconds(-off), less)
	default:
		return "on the spot"
	}
}
