package sim

import "slices"

// ShortestHold is roughly the shortest press a hand can make: one cycle of the
// motor system, 70 ms. Source: Card, Moran and Newell, The Psychology of
// Human-Computer Interaction (1983), quoted second-hand.
const ShortestHold = 70 * Millisecond

// FlickOutcome is the result of a flick.
type FlickOutcome string

// The outcomes. Toggled: its press changed recording for good. Unseen: it never
// became a press of its own, because it was settled away, fell between two
// refreshes or within a pulse or its rest, or merged into another press.
// Waiting: its press had not acted when the log ended. Open: it was not over
// when the log ended. The others are those of its press ([Verdict]).
const (
	FlickToggled FlickOutcome = "toggled"
	FlickUnseen  FlickOutcome = "unseen"
	FlickShort   FlickOutcome = "short"
	FlickLong    FlickOutcome = "long"
	FlickDouble  FlickOutcome = "double"
	FlickWake    FlickOutcome = "wake"
	FlickBusy    FlickOutcome = "busy"
	FlickOff     FlickOutcome = "off"
	FlickIgnored FlickOutcome = "ignored"
	FlickWaiting FlickOutcome = "waiting"
	FlickUnknown FlickOutcome = "unknown"
	FlickOpen    FlickOutcome = "open"
)

// FlickOutcomes lists the outcomes in the order of reports.
var FlickOutcomes = []FlickOutcome{
	FlickToggled, FlickShort, FlickLong, FlickDouble, FlickBusy, FlickOff, FlickUnseen,
	FlickIgnored, FlickWake, FlickWaiting, FlickUnknown, FlickOpen,
}

// Flick is what the hand did at the switch: one move into the press range and
// back, judged by valid samples and M3 alone. Where both edges of the switch
// start a pulse, each move is a flick. A lost signal neither starts nor ends a
// flick, and a switch that is pressed at the first valid sample has not been
// flicked. In a log of the camera's wire, each press is a flick.
type Flick struct {
	N    int    // from 1, in order of time
	Down Micros // the sample that shows the move
	Up   Micros // [Never] if it is not over or is a single move
	// DownUnseen and UpUnseen are how much earlier the hand may have moved: the
	// times from the previous valid samples to these two.
	DownUnseen, UpUnseen Micros
	// Lossy marks a flick with an edge made or hidden by a lost signal.
	Lossy   bool
	Outcome FlickOutcome
	Press   int // number of its press, 0 if none
}

// Hold returns how long the switch was held, by the samples that show the two
// moves; [Never] if there are not two.
func (f Flick) Hold() Micros {
	if f.Up == Never {
		return Never
	}
	return f.Up - f.Down
}

// HandBounds returns the shortest and the longest hold of the hand that the
// samples allow: each move happened between the sample that shows it and the one
// before, and a sample may be as old as the link's frame. ok is false if the
// flick has no two moves, or a lost signal made an edge.
func (f Flick) HandBounds(link LinkSpec) (bounds Interval, ok bool) {
	if f.Up == Never || f.Lossy {
		return Interval{}, false
	}
	low := f.Hold() - f.UpUnseen - link.Frame
	return Interval{max(0, low), f.Hold() + f.DownUnseen + link.Frame}, true
}

// HandBounds returns the bounds of the flick behind a press; see
// [Flick.HandBounds].
func (r *Replay) HandBounds(p Press) (bounds Interval, ok bool) {
	if p.Flick == 0 {
		return Interval{}, false
	}
	return r.Flicks[p.Flick-1].HandBounds(r.Rig.Link)
}

// hand records the flicks. It follows the position of the switch as the samples
// show it, whatever a lost signal does to the chain's position.
type hand struct {
	spec      SwitchSpec
	eachMove  bool // every move is a flick
	seen      bool // a valid sample has come
	pressed   bool
	unchanged PulseRange // values that change nothing; see Selector
}

func newHand(rig Rig) hand {
	return hand{spec: rig.Switch, eachMove: rig.OneShot.Trigger == TriggerBoth}
}

// step takes a valid sample and the selector's edge. It returns the number of
// the flick whose move caused that edge.
func (h *hand) step(flicks *[]Flick, v PulseWidth, e Edge, edge bool) int32 {
	was, first := h.pressed, !h.seen
	h.seen = true
	h.pressed = h.spec.presses(v, was)
	h.unchanged = h.spec.unchangedBy(v, h.pressed)
	moved := h.pressed != was && !first
	switch {
	case moved && (h.pressed || h.eachMove):
		*flicks = appendDoubling(*flicks, Flick{
			N: len(*flicks) + 1, Down: e.At, Up: Never, DownUnseen: e.Unseen, Lossy: !edge,
		})
	case moved && h.held(*flicks):
		f := &(*flicks)[len(*flicks)-1]
		f.Up, f.UpUnseen, f.Lossy = e.At, e.Unseen, f.Lossy || !edge
		return int32(f.N)
	}
	if moved || h.held(*flicks) {
		return int32(len(*flicks))
	}
	return 0
}

// held reports whether the last flick is not over.
func (h *hand) held(flicks []Flick) bool {
	n := len(flicks)
	return n > 0 && !h.eachMove && flicks[n-1].Up == Never
}

// lost records that a lost signal moved the position.
func (h *hand) lost(flicks []Flick) {
	if h.held(flicks) {
		flicks[len(flicks)-1].Lossy = true
	}
}

// flicksOfPresses makes a flick of each press.
func flicksOfPresses(presses []Press) []Flick {
	flicks := make([]Flick, len(presses))
	for i := range presses {
		p := &presses[i]
		p.Flick = p.N
		flicks[i] = Flick{N: p.N, Down: p.Down, Up: p.Up, DownUnseen: p.DownUnseen, UpUnseen: p.UpUnseen}
	}
	return flicks
}

// judgeFlicks sets the outcome of each flick from the presses.
func (r *Replay) judgeFlicks() {
	for i := range r.Flicks {
		f := &r.Flicks[i]
		f.Press, f.Outcome = 0, FlickUnseen
		if r.mayArriveLate(*f) {
			f.Outcome = FlickOpen
		}
	}
	zones := r.Rig.Camera.ZonesAt(r.Window)
	for _, p := range r.Presses {
		if p.Flick == 0 {
			continue
		}
		f := &r.Flicks[p.Flick-1]
		if f.Press == 0 || f.Outcome != FlickToggled {
			f.Press, f.Outcome = p.N, zones.outcome(p, r.Window.HoldAs(p))
		}
	}
}

// mayArriveLate reports whether the log ended before the press of a flick could
// have reached the camera.
func (r *Replay) mayArriveLate(f Flick) bool {
	rig := r.Rig.from(r.Tap)
	return r.End-f.Down < rig.Switch.Settle+rig.Line.Update+rig.Line.Delay
}

// outcome returns the outcome of the flick behind a press with the given hold.
func (z Zones) outcome(p Press, hold Micros) FlickOutcome {
	if p.Verdict == VerdictToggle && p.Acts == Never {
		return FlickWaiting
	}
	switch p.Verdict {
	case VerdictToggle, VerdictShort, VerdictLong:
		switch {
		case z.Of(hold).Effect == EffectToggles:
			return FlickToggled
		case p.Verdict == VerdictLong:
			return FlickLong
		default:
			return FlickShort
		}
	default:
		return FlickOutcome(p.Verdict)
	}
}

// FlickCount is the number of flicks with one outcome.
type FlickCount struct {
	Outcome FlickOutcome
	Count   int
}

// FlickCounts are the outcomes that occurred, in the order of [FlickOutcomes].
type FlickCounts []FlickCount

// CountFlicks counts flicks by outcome.
func CountFlicks(flicks []Flick) FlickCounts {
	byOutcome := map[FlickOutcome]int{}
	for _, f := range flicks {
		byOutcome[f.Outcome]++
	}
	var counts FlickCounts
	for _, outcome := range FlickOutcomes {
		if n := byOutcome[outcome]; n > 0 {
			counts = append(counts, FlickCount{outcome, n})
		}
	}
	return counts
}

// Toggled returns how many flicks toggled, and how many flicks there are.
func (c FlickCounts) Toggled() (toggled, all int) {
	for _, n := range c {
		all += n.Count
		if n.Outcome == FlickToggled {
			toggled = n.Count
		}
	}
	return toggled, all
}

// FlicksFailed reports whether a flick that was meant to toggle did not, or may
// not have: it was unseen, short, busy, off, ignored or unknown, it was long with
// armed time after it, or it is doubtful that it toggled.
func (r *Replay) FlicksFailed() bool {
	return slices.ContainsFunc(r.Flicks, func(f Flick) bool {
		switch f.Outcome {
		case FlickUnseen, FlickShort, FlickBusy, FlickOff, FlickIgnored, FlickUnknown:
			return true
		case FlickLong:
			return r.armedAfter(f.Down)
		case FlickToggled:
			return r.Presses[f.Press-1].Doubtful
		default:
			return false
		}
	})
}

// armedAfter reports whether the craft is armed at any time after a moment. A
// log without an armed channel counts as armed to its end.
func (r *Replay) armedAfter(at Micros) bool {
	if r.Armed == nil {
		return at < r.End
	}
	return slices.ContainsFunc(r.Armed.Windows, func(w Span) bool { return w.To > at })
}
