package tell

import (
	"fmt"

	"flicktally/sim"
)

// Findings about the signal on its way from the switch to the camera.

var noSignal = Rule{
	Code:    "no-signal",
	Meaning: "The log has no valid value of the channel.",
	Remedy:  "in the rig, check channel, scale and offset under [log], and valid under [switch]",
	find: func(r *sim.Replay, _ Limits) []Finding {
		if r.Samples.Count == 0 || r.Samples.Valid > 0 {
			return nil
		}
		return []Finding{{Text: fmt.Sprintf("none of %d samples has a channel value from %v to %v µs",
			r.Samples.Count, r.Rig.Switch.Valid.Low, r.Rig.Switch.Valid.High)}}
	},
}

var downFromStart = Rule{
	Code:    "down-from-start",
	Meaning: "The record button was already down when the log started.",
	Remedy:  "start the log with the switch at rest; if it was at rest, the polarity of the line or the camera is inverted",
	find: eachPress(func(r *sim.Replay, p sim.Press) (Finding, bool) {
		if !p.FromStart {
			return Finding{}, false
		}
		held := p.Span(r.End).Length().Readable()
		return Finding{Text: fmt.Sprintf("the button was down when the log started; press %d %s", p.N, heldFor(p, held))}, true
	}),
}

var pressedAtIdle = Rule{
	Code:    "pressed-at-idle",
	Meaning: "While the switch is at rest, the camera sees the button down most of the time.",
	Remedy:  "make [line] active and [camera] pressed_level match the wiring; check the level at rest with a meter, props off",
	find: func(r *sim.Replay, _ Limits) []Finding {
		if r.Tap != sim.TapChannel {
			return nil // the log does not show when the switch was at rest
		}
		var idle, pressed sim.Micros
		from, position := sim.Micros(0), r.Lanes.Settled.Initial
		reach := func(at sim.Micros) {
			if !position {
				idle += at - from
				pressed += r.Lanes.Wire.PressedWithin(sim.Span{From: from, To: at})
			}
		}
		for _, e := range r.Lanes.Settled.Edges {
			reach(e.At)
			from, position = e.At, e.Pressed
		}
		reach(r.End)
		if idle == 0 || pressed*2 < idle {
			return nil
		}
		return []Finding{{Text: fmt.Sprintf("the camera sees the button down for %s of the %s during which the switch is at rest",
			pressed.Readable(), idle.Readable())}}
	},
}

var chatter = Rule{
	Code:    "chatter",
	Meaning: "The switch changed position several times, too quickly for a hand: it bounces, or its value is at the edge of a range.",
	Remedy:  "under [switch], set settle slightly longer than the bounce, or hysteresis larger than the noise",
	find: func(r *sim.Replay, limits Limits) []Finding {
		edges := r.Lanes.Position.Edges
		n := limits.ChatterEdges
		if n < 2 {
			return nil
		}
		var found []Finding
		for i := 0; i+n <= len(edges); i++ {
			first := edges[i].At
			if edges[i+n-1].At-first > limits.ChatterWithin {
				continue
			}
			last := i + n - 1
			for last+1 < len(edges) && edges[last+1].At-edges[last].At <= limits.ChatterWithin {
				last++
			}
			found = append(found, Finding{
				At: first, To: edges[last].At,
				Text: fmt.Sprintf("the switch changed %d times within %s, from %s on", last-i+1, (edges[last].At - first).Rounded(), first.Clock()),
			})
			i = last
		}
		return found
	},
}

var pressedInLoss = Rule{
	Code:    "pressed-in-loss",
	Meaning: "The switch counted as pressed while the signal was lost.",
	Remedy:  "make a lost signal release the button: [signal_loss] then = \"release\", and the same in the controller's failsafe",
	find: func(r *sim.Replay, _ Limits) []Finding {
		var found []Finding
		for _, lost := range r.Lost {
			if pressed := r.Lanes.Position.PressedWithin(lost); pressed > 0 {
				found = append(found, Finding{
					At: lost.From, To: lost.To,
					Text: fmt.Sprintf("no signal from %s to %s, and the switch counted as pressed for %s of it",
						lost.From.Clock(), lost.To.Clock(), pressed.Readable()),
				})
			}
		}
		return found
	},
}
