package belief

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

// regatta is a flight over a regatta with everything known: takes of 10 s, 20 s
// and 30 s, begun at 10 s, 40 s and 80 s.
func regatta() *sim.Replay {
	r := &sim.Replay{Rig: sure(), End: 120 * s}
	for _, at := range []sim.Micros{10, 20, 40, 60, 80, 110} {
		r.Lanes.Wire.Edges = append(r.Lanes.Wire.Edges, sim.Edge{At: at*s - 300*ms, Pressed: true}, sim.Edge{At: at * s})
	}
	r.Window = r.Rig.Camera.Window()
	r.Record = sim.RunCamera(r.Rig.Camera, r.Window, r.Lanes.Wire, r.End, nil)
	return r
}

func lengths(seconds ...sim.Micros) []Clip {
	clips := []Clip{}
	for _, length := range seconds {
		clips = append(clips, Clip{Length: length * s})
	}
	return clips
}

// TestClipsAreMatched: which take is which file, which is missing, and what
// nothing explains.
func TestClipsAreMatched(t *testing.T) {
	for _, test := range []struct {
		name        string
		clips       []Clip
		pairs       []Pair
		unexplained int
		findings    []string
	}{
		{"all there", lengths(10, 20, 30), []Pair{{1, 1}, {2, 2}, {3, 3}}, 0, nil},
		{"within the error", lengths(11, 19, 30), []Pair{{1, 1}, {2, 2}, {3, 3}}, 0, nil},
		{"the middle one is missing", lengths(10, 30), []Pair{{1, 1}, {0, 2}, {2, 3}}, 1,
			[]string{"take 2, 20 s long from 0:40.0 to 1:00.0, has no file on the card"}},
		{"a strange one", lengths(10, 55, 20, 30), []Pair{{1, 1}, {2, 0}, {3, 2}, {4, 3}}, 1,
			[]string{"nothing explains clip 2, 55 s long; nearest is take 3 from 1:20.0 on, 30 s long"}},
		{"one too long", lengths(10, 24, 30), []Pair{{1, 1}, {0, 2}, {2, 0}, {3, 3}}, 2,
			[]string{"take 2, 20 s long from 0:40.0 to 1:00.0, has no file on the card",
				"nothing explains clip 2, 24 s long; nearest is take 2 from 0:40.0 on, 20 s long"}},
		{"an empty card", lengths(), []Pair{{0, 1}, {0, 2}, {0, 3}}, 3,
			[]string{"take 1, 10 s long from 0:10.0 to 0:20.0, has no file on the card",
				"take 2, 20 s long from 0:40.0 to 1:00.0, has no file on the card",
				"take 3, 30 s long from 1:20.0 to 1:50.0, has no file on the card"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			result, err := Resolve(regatta(), Observations{Clips: test.clips, ClipError: s})
			require.NoError(t, err)
			require.Equal(t, test.pairs, result.Pairs)
			require.Equal(t, test.unexplained, result.Unexplained)
			var texts []string
			for _, f := range result.Findings {
				texts = append(texts, f.Text)
				require.NotEmpty(t, f.Remedy)
				require.Equal(t, f.Code == "missing-file", f.Costs)
			}
			require.Equal(t, test.findings, texts)
		})
	}
}

// TestClipStartsTellClipsApart: takes of equal length are distinguished by
// their starts, whatever the card's clock says.
func TestClipStartsTellClipsApart(t *testing.T) {
	replay := &sim.Replay{Rig: sure(), End: 100 * s}
	for _, at := range []sim.Micros{10, 20, 30, 40, 60, 70, 85, 95} { // four takes of 10 s, from 10, 30, 60, 85 s on
		replay.Lanes.Wire.Edges = append(replay.Lanes.Wire.Edges, sim.Edge{At: at*s - 300*ms, Pressed: true}, sim.Edge{At: at * s})
	}
	clips := lengths(10, 10, 10)
	for i, start := range []sim.Micros{1010, 1060, 1085} {
		clips[i].Start, clips[i].HasStart = start*s+7*ms, true
	}
	result, err := Resolve(replay, Observations{Clips: clips, ClipError: s})
	require.NoError(t, err)
	require.Equal(t, []Pair{{1, 1}, {0, 2}, {2, 3}, {3, 4}}, result.Pairs)
	require.Equal(t, 1, result.Unexplained)
}

// TestClipsNarrowTheWindow: a missing file shows that a press was too short, and
// so where the threshold is.
func TestClipsNarrowTheWindow(t *testing.T) {
	replay := flightOf(4, func(i int) sim.Micros { return []sim.Micros{300, 80, 120, 300}[i] * ms })
	replay.Rig.Camera.MinPress = interval(60*ms, 160*ms)
	// Presses go up at 5.3, 10.08, 15.12, 20.3 s: a file of 9.8 s says that the
	// 80 ms did nothing and the 120 ms stopped it; a second take follows to the end.
	result, err := Resolve(replay, Observations{Clips: []Clip{{Length: 9820 * ms}, {Length: 6 * s}}, ClipError: 100 * ms})
	require.NoError(t, err)
	require.Zero(t, result.Unexplained)
	require.Equal(t, interval(80*ms, 120*ms), result.MinPress)
	require.Equal(t, []Pair{{1, 1}, {2, 2}}, result.Pairs, "the second runs on past the log's end")
	for _, p := range result.Replay.Presses {
		require.False(t, p.Doubtful)
	}
	require.Empty(t, result.Ask)
}

// TestContradictedGlance: a glance that no cell explains is named, with what is
// nearest, and the others count.
func TestContradictedGlance(t *testing.T) {
	result, err := Resolve(regatta(), Observations{Seen: []Glance{{15 * s, LightRecording}, {15 * s, LightOff}}})
	require.NoError(t, err)
	require.Equal(t, 1, result.Unexplained)
	require.Equal(t, "nothing explains the light seen at 0:15.0 as off; nearest is that the camera was recording then", result.Findings[0].Text)
	require.Len(t, result.Findings, 1)
}

// TestClipsAfterAnUnknownState: what the camera records once its state is not
// known needs no take.
func TestClipsAfterAnUnknownState(t *testing.T) {
	replay := flightOf(2, func(i int) sim.Micros { return []sim.Micros{300, 2000}[i] * ms })
	replay.Rig.Camera.LongAction = sim.ActionUnknown
	result, err := Resolve(replay, Observations{Clips: lengths(6, 3, 9), ClipError: s})
	require.NoError(t, err)
	require.Zero(t, result.Unexplained)
	require.Empty(t, result.Findings)
	require.Equal(t, []Pair{{1, 1}, {2, 0}, {3, 0}}, result.Pairs)
}

// TestLongestAlignment: no list of pairs that fit and rise is longer, or as long
// and cheaper, than the one that is found.
func TestLongestAlignment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(0, 4).Draw(t, "clips"), rapid.IntRange(0, 4).Draw(t, "takes")
		fit := rapid.SliceOfN(rapid.Bool(), n*k, n*k).Draw(t, "fits")
		price := rapid.SliceOfN(rapid.IntRange(0, 3), n*k, n*k).Draw(t, "cost")
		fits := func(i, j int) bool { return fit[i*k+j] }
		cost := func(i, j int) float64 { return float64(price[i*k+j]) }
		var search func(i, j int) (pairs int, total float64)
		search = func(i, j int) (pairs int, total float64) {
			for a := i; a < n; a++ {
				for b := j; b < k; b++ {
					if !fits(a, b) {
						continue
					}
					p, c := search(a+1, b+1)
					if p, c = p+1, c+cost(a, b); p > pairs || p == pairs && c < total {
						pairs, total = p, c
					}
				}
			}
			return pairs, total
		}
		wantPairs, wantCost := search(0, 0)
		found, total := longestAlignment(n, k, fits, cost), 0.0
		last := Pair{-1, -1}
		for _, p := range found {
			require.True(t, p.Clip > last.Clip && p.Take > last.Take && fits(p.Clip, p.Take))
			total += cost(p.Clip, p.Take)
			last = p
		}
		require.Len(t, found, wantPairs)
		require.Equal(t, wantCost, total)
	})
}

// TestNearestLength: where a file is missing, and the one that is there fits two
// takes, it is the one that is nearer in length; with a start, the one that
// begins in step with the others.
func TestNearestLength(t *testing.T) {
	replay := &sim.Replay{Rig: sure(), End: 200 * s}
	for _, at := range []sim.Micros{10, 20, 30, 41, 60, 90, 100, 110} { // takes of 10, 11, 30 and 10 s from 10, 30, 60, 100 s on
		replay.Lanes.Wire.Edges = append(replay.Lanes.Wire.Edges, sim.Edge{At: at*s - 300*ms, Pressed: true}, sim.Edge{At: at * s})
	}
	seen := Observations{Clips: []Clip{{Length: 11 * s}, {Length: 30 * s}, {Length: 10 * s}}, ClipError: 2 * s}
	result, err := Resolve(replay, seen)
	require.NoError(t, err)
	require.Equal(t, []Pair{{0, 1}, {1, 2}, {2, 3}, {3, 4}}, result.Pairs)

	seen.Clips = []Clip{{Length: 11 * s, Start: 1010 * s, HasStart: true}, {Length: 30 * s, Start: 1060 * s, HasStart: true}, {Length: 10 * s}}
	result, err = Resolve(replay, seen)
	require.NoError(t, err)
	require.Equal(t, []Pair{{1, 1}, {0, 2}, {2, 3}, {3, 4}}, result.Pairs)
}

// TestClipOfACutTake: where two clips fit the take that the log's end cut, it is
// the one that is nearer in length, though the other may be longer.
func TestClipOfACutTake(t *testing.T) {
	replay := flightOf(1, func(int) sim.Micros { return 300 * ms }) // a take from 5.3 s to the log's end at 10 s
	result, err := Resolve(replay, Observations{Clips: lengths(300, 4), ClipError: s})
	require.NoError(t, err)
	require.Equal(t, []Pair{{1, 0}, {2, 1}}, result.Pairs)
}

// TestBetterAlignment: more pairs first, then less misfit.
func TestBetterAlignment(t *testing.T) {
	few, many, closer := alignment{pairs: make([]Pair, 1), misfit: 1}, alignment{pairs: make([]Pair, 2), misfit: 3}, alignment{pairs: make([]Pair, 2), misfit: 2}
	for _, test := range []struct {
		a, b   alignment
		better bool
	}{{many, few, true}, {few, many, false}, {closer, many, true}, {many, closer, false}, {many, many, false}} {
		require.Equal(t, test.better, test.a.betterThan(test.b))
	}
}
