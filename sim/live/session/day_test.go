package session

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

var aloft = flag.Duration("aloft", 30*time.Minute, "how long TestADayInTheAir flies")

// pilot sends rows, a hundred a second, with random faults while the switch is at
// rest.
type pilot struct {
	*air
	random *rand.Rand
	stamp  sim.Micros // of the sender's clock
	send   func(stamp sim.Micros, value int) string
	faults []func() // each is drawn as often as the others
	flicks int
}

// faultEvery is the mean number of rows between two faults.
const faultEvery = 1500

func (p *pilot) row(value int) {
	p.come(p.send(p.stamp, value))
	p.stamp += 10 * ms
	p.now += 10 * ms
}

// rest keeps the switch at rest.
func (p *pilot) rest(rows int) {
	for range rows {
		p.row(1000)
		if p.random.IntN(faultEvery) == 0 {
			p.faults[p.random.IntN(len(p.faults))]()
			p.row(1000)
			p.row(1000)
		}
	}
}

// fly flies until an end of the clock on the wall.
func (p *pilot) fly(end sim.Micros) {
	for p.now < end {
		p.rest(500 + p.random.IntN(8000))
		for range 12 + p.random.IntN(40) {
			p.row(2000)
		}
		p.flicks++
		p.rest(200)
		if p.flicks%16 == 0 {
			p.requireState()
		}
	}
}

// requireState checks that no fault has cost a flick: the camera records after
// every other one.
func (p *pilot) requireState() {
	want := sim.StateStandby
	if p.flicks%2 == 1 {
		want = sim.StateRecording
	}
	view := p.s.Look()
	require.Equal(p.t, want, view.State)
	require.Len(p.t, view.Past, p.flicks)
	require.Equal(p.t, 1, view.Segment)
}

// silence is a pause of the link.
func (p *pilot) silence() {
	gap := sim.Micros(p.random.Int64N(int64(40 * sec)))
	p.stamp += gap
	p.wait(gap)
}

// restart is a sender that restarts.
func (p *pilot) restart() {
	p.wait(sim.Micros(p.random.Int64N(int64(20 * sec))))
	p.stamp = sim.Micros(p.random.IntN(1000)) * ms
}

// late is a row that arrives late, wild one with a wrong time.
func (p *pilot) late() {
	p.come(p.send(max(0, p.stamp-sim.Micros(20+p.random.IntN(900))*ms), 2000))
}

func (p *pilot) wild() {
	p.row(1000)
	p.come(p.send(p.stamp+11*sec+sim.Micros(p.random.Int64N(int64(100*sim.Hour))), 2000))
	p.row(1000)
	if p.stamp > 30*sec {
		p.come(p.send(0, 1000))
	}
}

func (p *pilot) noise() { p.come(junk[p.random.IntN(len(junk)-1)]) }

func inTheAir(t *testing.T, send func(sim.Micros, int) string) *pilot {
	opts := plain
	opts.Source.Spec.Channel = "aux2"
	p := &pilot{air: takeOff(t, 0, opts), random: rand.New(rand.NewPCG(24, 100)), send: send}
	p.faults = []func(){p.silence, p.restart, p.late, p.wild, p.noise}
	return p
}

// A day in the air in accelerated time, with faults at random: every flick counts,
// memory stays flat, and the record replays to the same tally.
func TestADayInTheAir(t *testing.T) {
	lasts := sim.Micros(aloft.Microseconds())
	for name, send := range map[string]func(sim.Micros, int) string{
		"rows":      func(at sim.Micros, value int) string { return fmt.Sprintf("%d,%d\n", at, value) },
		"telemetry": func(at sim.Micros, value int) string { return string(telemetry(1, 0, at, uint16(value))) },
	} {
		t.Run(name, func(t *testing.T) {
			p := inTheAir(t, send)
			if name == "rows" {
				p.come(header)
			}
			p.fly(lasts / 4)
			early := heap()
			p.fly(lasts)
			const flat = 8 << 20 // some 2000 flicks, and what the runtime keeps by chance
			require.Less(t, heap(), early+flat)
			t.Logf("%d flicks in %s; %s", p.flicks, p.now.Clock(), p.s.About())
			require.Len(t, p.land()[0].Replay.Presses, p.flicks)
		})
	}
}

// heap is what is in use after a collection.
func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
