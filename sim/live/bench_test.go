package live

import (
	"testing"

	"flicktally/sim"
)

// flown is an hour with a flick a minute, some of them with a hold that may or may not
// count.
func flown() (*Tally, sim.Micros) {
	rig := heron()
	rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	rig.Camera.LongPress = sim.Interval{Low: 1200 * ms, High: 1600 * ms}
	rig.Camera.Start = sim.StartUnknown
	tally := New(sim.TapChannel, rig)
	at := sim.Micros(0)
	feed := func(value sim.PulseWidth, lasts sim.Micros) {
		for end := at + lasts; at < end; at += 10 * ms {
			tally.Feed(at, 1, []sim.Sample{{At: at, Channel: value, Armed: sim.Absent}})
		}
	}
	for i := range sim.Micros(60) {
		feed(rest, sim.Minute)
		feed(press, 200*ms)
		if i%6 == 0 {
			feed(rest, 5*s)
			feed(press, 60*ms+i*ms/2)
		}
	}
	feed(rest, 5*s)
	return tally, at
}

// BenchmarkLook measures the part of a view that a reader waits for.
func BenchmarkLook(b *testing.B) {
	tally, now := flown()
	b.ReportAllocs()
	for b.Loop() {
		tally.Look(now)
	}
}

func BenchmarkView(b *testing.B) {
	tally, now := flown()
	b.ReportAllocs()
	for b.Loop() {
		tally.Look(now).View()
	}
}

func BenchmarkFeed(b *testing.B) {
	tally, now := flown()
	sample := []sim.Sample{{Channel: rest, Armed: sim.Absent}}
	b.ReportAllocs()
	for b.Loop() {
		now += 10 * ms
		sample[0].At = now
		tally.Feed(now, 1, sample)
	}
}
