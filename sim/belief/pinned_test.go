package belief

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "renew the pinned figures")

const pinnedFile = "testdata/pinned.txt"

// TestFiguresStay: the results of flights and outings that are compared with
// particles do not change. The particles show whether they are right, to half a
// hundredth; this shows, at once, whether anything has changed.
func TestFiguresStay(t *testing.T) {
	text, err := os.ReadFile(pinnedFile)
	require.NoError(t, err)
	pinned, lines := strings.Split(string(text), "\n"), []string(nil)
	hold := func(r *Result, clips []Clip) {
		line := figures(r, clips)
		if lines = append(lines, line); !*update {
			require.True(t, sameFigures(pinned[len(lines)-1], line), "line %d: want %s\n got %s", len(lines), pinned[len(lines)-1], line)
		}
	}
	for i := range 40 {
		replay, seen := doubtfulFlight(rand.New(rand.NewPCG(21, uint64(i))))
		result, err := Resolve(replay, seen)
		require.NoError(t, err)
		hold(result, seen.Clips)
	}
	for i := range 3 {
		o := drawOuting(rand.New(rand.NewPCG(77, uint64(i))))
		results, err := ResolveOuting(o)
		require.NoError(t, err)
		for _, r := range results {
			hold(r, o.Clips)
		}
	}
	if *update {
		require.NoError(t, os.WriteFile(pinnedFile, []byte(strings.Join(lines, "\n")), 0o644))
	}
}

// sameFigures compares two lines word by word, and numbers to what other
// processors round differently.
func sameFigures(a, b string) bool {
	as, bs := strings.Fields(a), strings.Fields(b)
	if len(as) != len(bs) {
		return false
	}
	for i := range as {
		x, errX := strconv.ParseFloat(as[i], 64)
		y, errY := strconv.ParseFloat(bs[i], 64)
		if as[i] != bs[i] && (errX != nil || errY != nil || math.Abs(x-y) > 2e-4) {
			return false
		}
	}
	return true
}

// figures returns a result as a line.
func figures(r *Result, clips []Clip) string {
	text := &strings.Builder{}
	for _, p := range r.Replay.Presses {
		fmt.Fprintf(text, "%s %.4f ", p.Verdict, p.Chance)
	}
	if r.Replay.Belief != nil {
		text.WriteString("| ")
		for k := range 12 {
			at := 2 * int(r.Replay.End) * k / 12
			fmt.Fprintf(text, "%.4f ", chanceAt(r.Replay.Belief, at))
		}
	}
	fmt.Fprintf(text, "| %d %d %.4f %.4f %d | %s %s ", len(r.Replay.Belief), r.Histories, r.Likeliest, r.StartRecording, r.Unexplained, r.MinPress, r.LongPress)
	for _, p := range r.Pairs {
		fmt.Fprintf(text, "%d=%d ", p.Clip, p.Take)
	}
	for _, row := range r.ClipRows(clips) {
		fmt.Fprintf(text, "%v ", row)
	}
	for _, q := range r.Ask[:min(1, len(r.Ask))] {
		fmt.Fprintf(text, "ask %.4f %t %d %d %d %.4f ", q.Gain, q.CountClips, q.At, q.From, q.To, q.Recording)
	}
	for _, e := range r.Endings() {
		fmt.Fprintf(text, "%s %.4f %s ", e.State, e.Chance, e.AcceptsFrom)
	}
	fmt.Fprintf(text, "%s %d ", r.EndState(), r.SafeFrom())
	if n := len(r.Replay.Presses); n > 0 && r.Replay.Presses[n-1].Open() {
		fmt.Fprintf(text, "in hand %.4f ", r.InHand())
	}
	for _, f := range r.Findings {
		fmt.Fprintf(text, "%s ", f.Code)
	}
	for _, c := range r.cells {
		fmt.Fprintf(text, "cell %.4f ", c.share)
	}
	fmt.Fprintf(text, "%s %d", strings.Join(r.NarrowedKeys(), " "), len(r.Lines()))
	return text.String()
}
