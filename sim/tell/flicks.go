package tell

import (
	"cmp"
	"fmt"
	"slices"

	"flicktally/sim"
)

// FlickRow is what a table tells of one flick, or of a press that no flick made;
// "-" stands where there is nothing to tell.
type FlickRow struct {
	N       string // number of the flick, "-" for a press that no flick made
	At      string // time of the flight
	Held    string // what the camera saw; of a flick that it did not see, the hand's hold
	ByHand  string
	Outcome string
	Margin  string
	Then    string // the camera's state after it
}

// FlickRows tells of each flick, and of each press that no flick made, in order
// of time.
func FlickRows(r *sim.Replay) []FlickRow {
	type timed struct {
		at  sim.Micros
		row FlickRow
	}
	var all []timed
	for _, f := range r.Flicks {
		if f.Press == 0 {
			all = append(all, timed{f.Down, unseenRow(r, f)})
		}
	}
	for _, p := range r.Presses {
		all = append(all, timed{p.Down, pressRow(r, p)})
	}
	slices.SortStableFunc(all, func(a, b timed) int { return cmp.Compare(a.at, b.at) })
	rows := make([]FlickRow, len(all))
	for i, t := range all {
		rows[i] = t.row
	}
	return rows
}

func unseenRow(r *sim.Replay, f sim.Flick) FlickRow {
	held, byHand := "-", "-"
	if f.Up != sim.Never {
		held = f.Hold().Rounded()
	}
	if bounds, ok := f.HandBounds(r.Rig.Link); ok {
		byHand = boundsText(bounds)
	}
	return FlickRow{fmt.Sprint(f.N), f.Down.Clock(), held, byHand, string(f.Outcome), "-", string(r.StateAt(f.Down))}
}

func pressRow(r *sim.Replay, p sim.Press) FlickRow {
	n, outcome := "-", string(p.Verdict)
	if p.Flick > 0 && r.Flicks[p.Flick-1].Press == p.N {
		n, outcome = fmt.Sprint(p.Flick), string(r.Flicks[p.Flick-1].Outcome)
	}
	if p.Doubtful {
		outcome += " (doubtful)"
	}
	return FlickRow{n, p.Down.Clock(), Held(p), ByHand(r, p), outcome, Margin(r.Window, p), string(p.StateAfter)}
}

// ToggledOf writes how many of the flicks toggled: "5 of 9".
func ToggledOf(counts []sim.FlickCount) string {
	toggled, all := 0, 0
	for _, c := range counts {
		all += c.Count
		if c.Outcome == sim.FlickToggled {
			toggled = c.Count
		}
	}
	return fmt.Sprintf("%d of %d", toggled, all)
}
