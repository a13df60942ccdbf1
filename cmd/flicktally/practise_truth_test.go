//go:build unix

package main

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/term"
)

// How exactly practice measures holds. On your own machine:
//
//	go test -run '^$' -bench HoldError -benchtime 10x ./cmd/flicktally
//	go test -run '^$' -bench ProcessorUse -benchtime 1x ./cmd/flicktally
//	go test -run '^$' -bench KeyToPicture -benchtime 100x ./cmd/flicktally

// trueHolds are the holds that are typed, in random order.
var trueHolds = []time.Duration{
	20 * time.Millisecond, 50 * time.Millisecond, 100 * time.Millisecond, 200 * time.Millisecond,
	500 * time.Millisecond, time.Second, 2 * time.Second,
}

// typeHolds makes two strokes for each hold, and returns the measured time between
// them.
func typeHolds(stroke func()) []time.Duration {
	var apart []time.Duration
	holds := slices.Clone(trueHolds)
	rand.Shuffle(len(holds), func(i, j int) { holds[i], holds[j] = holds[j], holds[i] })
	for _, hold := range holds {
		down := time.Now()
		stroke()
		time.Sleep(hold)
		up := time.Now()
		stroke()
		apart = append(apart, up.Sub(down))
		time.Sleep(250*time.Millisecond + rand.N(100*time.Millisecond))
	}
	return apart
}

// BenchmarkHoldError types flicks of known length at the program on a pseudo
// terminal and compares the holds in its journal. The share of the terminal is the
// error of a program that only reads from it.
func BenchmarkHoldError(b *testing.B) {
	b.Run("terminal", func(b *testing.B) {
		var errors []time.Duration
		for b.Loop() {
			errors = append(errors, errorsOfTerminal(b)...)
		}
		reportErrors(b, errors)
	})
	b.Run("practise", func(b *testing.B) {
		var errors []time.Duration
		for b.Loop() {
			errors = append(errors, errorsOfPractise(b)...)
		}
		reportErrors(b, errors)
	})
}

// reportErrors reports the median and the 99th percentile of errors of holds, or of
// delays of pictures.
func reportErrors(b *testing.B, errors []time.Duration) {
	for i, e := range errors {
		errors[i] = max(e, -e)
	}
	slices.Sort(errors)
	millis := func(share float64) float64 {
		return float64(errors[int(share*float64(len(errors)-1)+0.5)]) / float64(time.Millisecond)
	}
	b.ReportMetric(millis(0.5), "ms-median")
	b.ReportMetric(millis(0.99), "ms-p99")
	b.ReportMetric(0, "ns/op")
}

// errorsOfTerminal reads strokes from a terminal and nothing else.
func errorsOfTerminal(b *testing.B) []time.Duration {
	ours, theirs, err := pty.Open()
	require.NoError(b, err)
	defer ours.Close()
	defer theirs.Close()
	_, err = term.MakeRaw(int(theirs.Fd()))
	require.NoError(b, err)
	strokes := make(chan time.Time, 2*len(trueHolds))
	go func() {
		for key := make([]byte, 1); len(strokes) < cap(strokes); {
			if _, err := theirs.Read(key); err != nil {
				return
			}
			strokes <- time.Now()
		}
	}()
	apart := typeHolds(func() { _, _ = ours.WriteString(" ") })
	for i := range apart {
		down, up := <-strokes, <-strokes
		apart[i] -= up.Sub(down)
	}
	return apart
}

// errorsOfPractise types flicks at a drill.
func errorsOfPractise(b *testing.B) []time.Duration {
	p := startPractise(b, "flick", "--no-link")
	p.WaitFor("standby", 1)
	apart := typeHolds(func() { p.Type(" ") })
	p.Type("\x03")
	require.Zero(b, p.WaitForEnd())
	flicks := p.drills(b)[0].Flicks
	require.Len(b, flicks, len(apart))
	for i, f := range flicks {
		apart[i] -= f.Hold().Duration()
	}
	return apart
}

// BenchmarkProcessorUse reports how much of a core the screen takes at 200 by 60
// while a drill waits, while the bar of a hold runs, and while somebody flicks.
func BenchmarkProcessorUse(b *testing.B) {
	const watched = 10 * time.Second
	rig := filepath.Join(b.TempDir(), "patient.toml") // the bar runs for all of the time
	require.NoError(b, os.WriteFile(rig, []byte("[camera]\nlong_press = \"60s\"\n"), 0o644))
	for _, state := range []struct {
		name, drill string
		use         func(p *practising)
	}{
		{"waiting", "hands-off", func(*practising) { time.Sleep(watched) }},
		{"holding", "flick", func(p *practising) { p.Type(" "); time.Sleep(watched) }},
		{"flicking", "flick", func(p *practising) {
			for end := time.Now().Add(watched); time.Now().Before(end); time.Sleep(700 * time.Millisecond) {
				p.Type(" ")
				time.Sleep(300 * time.Millisecond)
				p.Type(" ")
			}
		}},
	} {
		b.Run(state.name, func(b *testing.B) {
			used := func(use func(*practising)) time.Duration {
				p := startPractise(b, "--rig", rig, state.drill)
				p.Resize(200, 60)
				p.WaitFor("? help", 1)
				use(p)
				p.Type("\x03")
				require.Zero(b, p.WaitForEnd())
				return p.Process.ProcessState.SystemTime() + p.Process.ProcessState.UserTime()
			}
			var share float64
			for b.Loop() {
				share += float64(used(state.use)-used(func(*practising) {})) / float64(watched)
			}
			b.ReportMetric(100*share/float64(b.N), "%-of-a-core")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// BenchmarkKeyToPicture reports the delay from a key to its picture, at 200 by 60.
func BenchmarkKeyToPicture(b *testing.B) {
	p := startPractise(b, "flick", "--no-link")
	p.Resize(200, 60)
	p.WaitFor("standby", 1)
	var took []time.Duration
	for i := 0; b.Loop(); i++ {
		seen, typed := len(p.Seen()), time.Now()
		p.Type(" ")
		for want := []string{"pressed", "rest"}[i%2]; !strings.Contains(p.Seen()[seen:], want); {
			time.Sleep(50 * time.Microsecond)
		}
		took = append(took, time.Since(typed))
		time.Sleep(250*time.Millisecond + rand.N(100*time.Millisecond))
	}
	reportErrors(b, took)
}
