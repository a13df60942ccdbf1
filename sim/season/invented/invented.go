// Package invented makes the season of the demo: eight invented flights of Heron
// over two regatta weekends, each with a list of the clips on its card.
package invented

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"time"

	"flicktally/sim"
)

// Flight is one flight: its name, its log (CSV), and the list of its clips (CSV).
type Flight struct {
	Name      string // such as 2026-06-13-start
	Log, Card []byte
}

// days are the days of the two regattas, with two flights each.
var days = []time.Time{
	time.Date(2026, 6, 13, 10, 20, 0, 0, time.UTC), time.Date(2026, 6, 14, 13, 5, 0, 0, time.UTC),
	time.Date(2026, 6, 20, 10, 40, 0, 0, time.UTC), time.Date(2026, 6, 21, 14, 15, 0, 0, time.UTC),
}

// Season returns the flights, always the same ones, filmed by the camera of the
// rig.
func Season(rig sim.Rig) []Flight {
	rng := rand.New(rand.NewPCG(2026, 8))
	var all []Flight
	for day, begin := range days {
		for n, name := range []string{"start", "finish"} {
			began := begin.Add(time.Duration(n) * 42 * time.Minute)
			moves := drawMoves(rng, day)
			all = append(all, Flight{
				Name: began.Format(time.DateOnly) + "-" + name,
				Log:  log(began, moves), Card: card(rng, rig, moves, began),
			})
		}
	}
	return all
}

// length is how long each flight of the season is.
const length = 3 * sim.Minute

// drawMoves draws when the pilot moved the switch. Later days go better.
func drawMoves(rng *rand.Rand, day int) []sim.Micros {
	var moves []sim.Micros
	for at := sim.Micros(9+rng.IntN(5)) * sim.Second; at < length-10*sim.Second; {
		hold := 330*sim.Millisecond + sim.Micros(rng.NormFloat64()*float64(70-10*day))*sim.Millisecond
		switch rng.IntN(16 + 4*day) {
		case 0:
			hold = sim.Micros(40+rng.IntN(60)) * sim.Millisecond
		case 1, 2:
			hold = sim.Micros(90+rng.IntN(60)) * sim.Millisecond
		}
		if rng.IntN(40) == 0 {
			hold = sim.Micros(1200+rng.IntN(900)) * sim.Millisecond
		}
		hold = max(30*sim.Millisecond, hold)
		moves = append(moves, at, at+hold)
		at += hold + sim.Micros(4000+rng.IntN(14000))*sim.Millisecond
	}
	return moves
}

// eachSample yields the channel every 20 ms.
func eachSample(moves []sim.Micros, yield func(sim.Sample)) {
	for at, n := sim.Micros(0), 0; at <= length; at += 20 * sim.Millisecond {
		for n < len(moves) && moves[n] <= at {
			n++
		}
		yield(sim.Sample{At: at, Channel: sim.PulseWidth(1000 + n%2*1000), Armed: 1800})
	}
}

// log writes the channel of a flight.
func log(began time.Time, moves []sim.Micros) []byte {
	var text bytes.Buffer
	text.WriteString("time,aux2,arm\n")
	eachSample(moves, func(s sim.Sample) {
		at := began.Add(time.Duration(s.At) * time.Microsecond).Format("2006-01-02T15:04:05.000Z")
		fmt.Fprintf(&text, "%s,%v,%v\n", at, s.Channel, s.Armed)
	})
	return text.Bytes()
}

// card lists what the camera of the rig recorded.
func card(rng *rand.Rand, rig sim.Rig, moves []sim.Micros, began time.Time) []byte {
	chain := sim.NewChain(sim.TapChannel, rig)
	eachSample(moves, chain.Feed)
	var list bytes.Buffer
	list.WriteString("duration,start,name\n")
	for i, take := range chain.Finish().Takes {
		start := began.Add(time.Duration(take.Start) * time.Microsecond)
		lasts := float64(take.Length())/1e6 + 0.2*rng.Float64()
		fmt.Fprintf(&list, "%.1fs,%s,LAKE%04d\n", lasts, start.Format("15:04:05"), i+1)
	}
	return list.Bytes()
}
