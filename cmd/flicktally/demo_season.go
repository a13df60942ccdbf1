package main

import (
	"fmt"
	"io"
	"math/rand/v2"
	"path/filepath"
	"time"

	"flicktally/sim"
	"flicktally/sim/files"
	"flicktally/sim/rigfile"
)

// The season of the demo: eight invented flights of Heron over two regatta
// weekends, each with a list of the clips on its card. The camera's window is that of
// heron.toml, which the pilot of unsure.toml does not know.

// seasonDays are the days of the two regattas, with two flights each.
var seasonDays = []time.Time{
	time.Date(2026, 6, 13, 10, 20, 0, 0, time.UTC), time.Date(2026, 6, 14, 13, 5, 0, 0, time.UTC),
	time.Date(2026, 6, 20, 10, 40, 0, 0, time.UTC), time.Date(2026, 6, 21, 14, 15, 0, 0, time.UTC),
}

// demoSeason returns the files of the season, to write into a folder.
func demoSeason(folder string) ([]files.Output, error) {
	heron, err := rigfile.Parse(demoFile("heron.toml"), "heron.toml")
	if err != nil {
		return nil, err
	}
	rng := rand.New(rand.NewPCG(2026, 8))
	var all []files.Output
	for day, begin := range seasonDays {
		for flight, name := range []string{"start", "finish"} {
			began := begin.Add(time.Duration(flight) * 42 * time.Minute)
			moves := demoMoves(rng, day)
			place := filepath.Join(folder, began.Format(time.DateOnly)+"-"+name)
			clips := demoClips(rng, heron.Rig, moves, began)
			all = append(all,
				files.Output{Path: filepath.Join(place, "regatta.csv"), Write: func(w io.Writer) error { return writeDemoLog(w, began, moves) }},
				files.Output{Path: filepath.Join(place, "card.csv"), Write: func(w io.Writer) error { _, err := io.WriteString(w, clips); return err }},
			)
		}
	}
	return all, nil
}

// demoFlight is how long each flight of the season is.
const demoFlight = 3 * sim.Minute

// demoMoves draws when the pilot moved the switch. Later days go better.
func demoMoves(rng *rand.Rand, day int) []sim.Micros {
	var moves []sim.Micros
	for at := sim.Micros(9+rng.IntN(5)) * sim.Second; at < demoFlight-10*sim.Second; {
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
	for at, n := sim.Micros(0), 0; at <= demoFlight; at += 20 * sim.Millisecond {
		for n < len(moves) && moves[n] <= at {
			n++
		}
		yield(sim.Sample{At: at, Channel: sim.PulseWidth(1000 + n%2*1000), Armed: 1800})
	}
}

func writeDemoLog(w io.Writer, began time.Time, moves []sim.Micros) error {
	if _, err := fmt.Fprintln(w, "time,aux2,arm"); err != nil {
		return err
	}
	var failed error
	eachSample(moves, func(s sim.Sample) {
		if failed == nil {
			at := began.Add(time.Duration(s.At) * time.Microsecond).Format("2006-01-02T15:04:05.000Z")
			_, failed = fmt.Fprintf(w, "%s,%v,%v\n", at, s.Channel, s.Armed)
		}
	})
	return failed
}

// demoClips lists what the camera with the true window recorded.
func demoClips(rng *rand.Rand, rig sim.Rig, moves []sim.Micros, began time.Time) string {
	chain := sim.NewChain(sim.TapChannel, rig)
	eachSample(moves, chain.Feed)
	list := "duration,start,name\n"
	for i, take := range chain.Finish().Takes {
		start := began.Add(time.Duration(take.Start) * time.Microsecond)
		length := float64(take.Length())/1e6 + 0.2*rng.Float64()
		list += fmt.Sprintf("%.1fs,%s,LAKE%04d\n", length, start.Format("15:04:05"), i+1)
	}
	return list
}
