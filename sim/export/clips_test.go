package export

import (
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
)

// withCard is the flight whose first take is a clip in two parts, and whose
// second was never closed.
func withCard() flight.Flight {
	f := regatta(nil)
	f.Segments = 1
	f.Clips = []belief.Clip{
		{Name: "FOREIGN.MP4", Length: 99 * sim.Second},
		{Name: "LAKE0001.MP4", Length: 6 * sim.Second, Parts: []belief.Part{{Name: "LAKE0001.MP4", Length: 4 * sim.Second}, {Name: "LAKE0002.MP4", Length: 2 * sim.Second}}},
		{Name: "LAKE0003.MP4", NoLength: true},
	}
	f.Known = &belief.Result{Pairs: []belief.Pair{{Clip: 1}, {Clip: 2, Take: 1}, {Clip: 3, Take: 2}}}
	return f
}

func TestTablesNameTheClips(t *testing.T) {
	takes := written(t, func(w io.Writer) error { return Takes(w, []flight.Flight{withCard()}, JSONLines) })
	require.Contains(t, takes, `"take":1,"start_us":2550000,"end_us":8300000,"length_us":5750000,"start":"0:02.550","end":"0:08.300","length":"0:05.750","ended":"press","ended_by_press":3,"clip_name":"LAKE0001.MP4","clip_length_us":6000000}`)
	require.Contains(t, takes, `"ended":"log-end","clip_name":"LAKE0003.MP4"}`, "a length that nobody knows is not there")
	presses := strings.Split(written(t, func(w io.Writer) error { return Presses(w, []flight.Flight{withCard()}, JSONLines) }), "\n")
	require.Contains(t, presses[1], `"clip":1,"clip_name":"LAKE0001.MP4","clip_down_us":3700000}`)
	require.NotContains(t, presses[0], "clip")
}

func TestCuesNameTheClips(t *testing.T) {
	cues := written(t, func(w io.Writer) error { return Cues(w, []flight.Flight{withCard()}) })
	require.Contains(t, cues, "00:00:02.550 --> 00:00:08.300\ntake 1, LAKE0001.MP4, 0:05.750, ended by press 3\n")
	chapters := written(t, func(w io.Writer) error { return Chapters(w, []flight.Flight{withCard()}) })
	require.Contains(t, chapters, "00:00:02.550 --> 00:00:08.300\ntake 1, LAKE0001.MP4\n")
}

// TestFlightsFollowEachOther: each starts where the one before ends.
func TestFlightsFollowEachOther(t *testing.T) {
	second := withCard()
	second.File, second.Segment, second.Segments = "evening.csv", 2, 2
	flights := []flight.Flight{regatta(nil), second}
	end := flights[0].Replay.End // 13.99 s
	require.Equal(t, sim.Micros(13_990_000), end)
	chapters := written(t, func(w io.Writer) error { return Chapters(w, flights) })
	require.Contains(t, chapters, "\n00:00:11.880 --> 00:00:13.990\nregatta.csv: take 2\n")
	require.Contains(t, chapters, "\n00:00:13.990 --> 00:00:16.540\nevening.csv (segment 2 of 2): no take\n")
	require.Contains(t, chapters, "\n00:00:16.540 --> 00:00:22.290\nevening.csv (segment 2 of 2): take 1, LAKE0001.MP4\n")
	cues := written(t, func(w io.Writer) error { return Cues(w, flights) })
	require.Contains(t, cues, "\n00:00:16.540 --> 00:00:22.290\nevening.csv (segment 2 of 2): take 1, LAKE0001.MP4, 0:05.750, ended by press 3\n")
	require.Contains(t, written(t, func(w io.Writer) error { return Chapters(w, nil) }), "chapters. Times are modelled")
}

// TestCuesOfParts: the cues of a part of a clip are what happened during that part,
// at its own time.
func TestCuesOfParts(t *testing.T) {
	f := withCard()
	files := CueFiles(&f)
	var names []string
	for _, c := range files {
		names = append(names, c.Clip)
	}
	require.Equal(t, []string{"LAKE0001.MP4", "LAKE0002.MP4", "LAKE0003.MP4"}, names)
	require.Equal(t, `WEBVTT

NOTE
Heron: LAKE0001.MP4. Times are modelled; only the camera's own light is proof.

1
00:00:00.000 --> 00:00:04.000
take 1, LAKE0001.MP4, 0:05.750, ended by press 3, from 0:02.550 of the flight

2
00:00:03.700 --> 00:00:04.000
press 2, held 40 ms: short
`, withoutFindings(f, 0))
	require.Equal(t, `WEBVTT

NOTE
Heron: LAKE0002.MP4. Times are modelled; only the camera's own light is proof.

1
00:00:00.000 --> 00:00:01.750
take 1, LAKE0001.MP4, 0:05.750, ended by press 3, from 0:06.550 of the flight

2
00:00:01.450 --> 00:00:01.750
press 3, held 300 ms: toggle
`, withoutFindings(f, 1))
}

func withoutFindings(f flight.Flight, n int) string {
	f.Findings = nil
	var b strings.Builder
	if err := CueFiles(&f)[n].Write(&b); err != nil {
		return err.Error()
	}
	return b.String()
}

// TestPartsBeyondTheTake: a clip may be longer than its take.
func TestPartsBeyondTheTake(t *testing.T) {
	f := withCard()
	f.Clips[1].Parts = []belief.Part{{Name: "A", Length: 9 * sim.Second}, {Name: "B", Length: sim.Second}, {Name: "C", Length: sim.Second}}
	for _, c := range CueFiles(&f) {
		require.LessOrEqual(t, c.of.span.From, c.of.span.To)
		require.LessOrEqual(t, c.of.span.To, c.of.take.End)
		var b strings.Builder
		require.NoError(t, c.Write(&b))
	}
}
