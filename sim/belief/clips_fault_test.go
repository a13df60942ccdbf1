package belief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// Lists of clips that no flight has are refused before they take an hour, or all
// of the memory. Each take and each clip is as long as any other, so that every
// pair of them could be one, and the clips' starts are in step with none.
func TestClipsThatAreTooManyAreRefused(t *testing.T) {
	const refusal = "found 1000 clips, too many to match with takes, want the clips of this flight only"
	_, err := Resolve(steadyFlight(20), Observations{Clips: clipsOutOfStep(15), ClipError: s})
	require.NoError(t, err)
	_, err = Resolve(steadyFlight(maxPairs/1000+1), Observations{Clips: clipsOutOfStep(1000), ClipError: s})
	require.EqualError(t, err, refusal)
}

func TestComparingClipsEndsWithItsWork(t *testing.T) {
	const clips, takes = 30, 40
	for _, test := range []struct {
		name  string
		left  int
		spent bool
	}{
		{"every pair of a clip and a take, once as it is and once for each to begin from", clips * takes * (1 + clips*takes), false},
		{"half of that", clips * takes * clips * takes / 2, true},
	} {
		t.Run(test.name, func(t *testing.T) {
			m := matcher{clipsOutOfStep(clips), s, test.left}
			c := shownCell(steadyFlight(takes))
			m.nearest(c, c.region, clips+takes)
			require.Equal(t, test.spent, m.spent())
			require.Greater(t, m.left, -2*clips*takes, "it goes on for no longer than it takes to compare once")
		})
	}
}

func clipsOutOfStep(n int) []Clip {
	clips := make([]Clip, n)
	for i := range clips {
		clips[i] = Clip{Length: 10 * s, Start: sim.Micros(i) * 37 * s, HasStart: true}
	}
	return clips
}

// steadyFlight has takes of 10 s, one every 30 s.
func steadyFlight(takes int) *sim.Replay {
	r := &sim.Replay{Rig: sure(), End: sim.Micros(takes+1) * 30 * s}
	for i := range sim.Micros(takes) {
		for _, at := range []sim.Micros{10*s + 30*s*i, 20*s + 30*s*i} {
			r.Lanes.Wire.Edges = append(r.Lanes.Wire.Edges, sim.Edge{At: at - 300*ms, Pressed: true}, sim.Edge{At: at})
		}
	}
	r.Window = r.Rig.Camera.Window()
	r.Record = sim.RunCamera(r.Rig.Camera, r.Window, r.Lanes.Wire, r.End, nil)
	return r
}
