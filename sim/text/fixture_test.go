package text

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

const (
	ms = sim.Millisecond
	s  = sim.Second
)

// apart is the time from one flick of a test flight to the next, and from its
// start to the first flick.
const apart = 10 * s

// printed returns what a printer without colour writes.
func printed(print func(*Printer)) string {
	var out bytes.Buffer
	print(New(&out, false))
	return out.String()
}

// flown plays flicks with these holds, one every 10 s, as a log with a row every
// 10 ms would show them: a hold on the wire is exactly the one given. The last may
// be longer than the log.
func flown(rig sim.Rig, holds ...sim.Micros) *sim.Replay {
	return flownWith(rig, func(*sim.Sample) {}, holds...)
}

// flownArmed is flown by a craft that is armed during a span.
func flownArmed(rig sim.Rig, armed sim.Span, holds ...sim.Micros) *sim.Replay {
	rig.Log.Armed = "arm"
	return flownWith(rig, func(row *sim.Sample) {
		row.Armed = 1000
		if armed.From <= row.At && row.At < armed.To {
			row.Armed = 2000
		}
	}, holds...)
}

// flownWith is flown with changes of rows.
func flownWith(rig sim.Rig, change func(*sim.Sample), holds ...sim.Micros) *sim.Replay {
	chain := sim.NewChain(sim.TapChannel, rig)
	end := sim.Micros(len(holds)+1) * apart
	for at := sim.Micros(0); at <= end; at += 10 * ms {
		row := sim.Sample{At: at, Channel: 1000, Armed: sim.Absent}
		if n := min(int(at/apart), len(holds)); n > 0 && at-sim.Micros(n)*apart < holds[n-1] {
			row.Channel = 2000
		}
		change(&row)
		chain.Feed(row)
	}
	return chain.FinishAt(end)
}

// judged makes flights of replays, as the command does.
func judged(t *testing.T, seen belief.Observations, replays ...*sim.Replay) []flight.Flight {
	t.Helper()
	var flights []flight.Flight
	for i, r := range replays {
		flights = append(flights, flight.Flight{File: "lake.csv", Segment: i + 1, Segments: len(replays), Replay: r})
	}
	require.NoError(t, flight.Judge(flights, tell.DefaultLimits(), seen))
	return flights
}

// with returns the default rig with a change.
func with(change func(*sim.Rig)) sim.Rig {
	rig := sim.DefaultRig()
	change(&rig)
	return rig
}

// many repeats a hold.
func many(n int, hold sim.Micros) []sim.Micros { return slices.Repeat([]sim.Micros{hold}, n) }

// part returns the part of a report that starts with certain words. Empty lines
// separate the parts.
func part(t *testing.T, report, start string) string {
	t.Helper()
	for p := range strings.SplitSeq(report, "\n\n") {
		if strings.HasPrefix(p, start) {
			return strings.TrimSuffix(p, "\n")
		}
	}
	require.Fail(t, "no such part", "%q in:\n%s", start, report)
	return ""
}

// replayed returns the report of one flight with nothing observed.
func replayed(t *testing.T, full bool, r *sim.Replay) string {
	t.Helper()
	return printed(func(p *Printer) { p.Flights(judged(t, belief.Observations{}, r), full) })
}

// ranged is a rig whose thresholds are known as ranges only.
func ranged() sim.Rig {
	return with(func(r *sim.Rig) {
		r.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 160 * ms}
		r.Camera.LongPress = sim.Interval{Low: 900 * ms, High: 1500 * ms}
	})
}
