package logs

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/bmff/bmfftest"
	"flicktally/sim/problem"
	"flicktally/sim/tell"
)

// TestClipsOfACard: the video files of folders, and single ones, are clips.
func TestClipsOfACard(t *testing.T) {
	folder := t.TempDir()
	dawn := time.Date(2026, 6, 14, 5, 0, 0, 0, time.UTC)
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "card", "100"), 0o777))
	one := put(t, folder, "card/100/one.mp4", string(bmfftest.Video(5*time.Second, dawn)))
	put(t, folder, "card/100/torn.mp4", string(bmfftest.NeverClosed()))
	note := put(t, folder, "card/note.txt", "gusts")
	two := put(t, folder, "two.mp4", string(bmfftest.Video(7*time.Second, dawn.Add(time.Minute))))

	r := newReader()
	clips, err := r.Clips([]string{filepath.Join(folder, "card"), two})
	require.NoError(t, err)
	var lengths []sim.Micros
	var names []string
	seen, lines := clips.Observed(nil, sim.Second)
	for _, clip := range seen.Clips {
		names, lengths = append(names, clip.Name), append(lengths, clip.Length)
	}
	require.ElementsMatch(t, []string{"one.mp4", "torn.mp4", "two.mp4"}, names)
	require.ElementsMatch(t, []sim.Micros{5 * sim.Second, 0, 7 * sim.Second}, lengths)
	require.Contains(t, lines, "no video, ignored: note.txt")
	for _, input := range []string{one, note, two} {
		require.ErrorContains(t, r.Desk.MayWrite(input, true), "as both input and output", "it lies on the card")
	}

	flights, err := r.Replay([]string{aloft(t, folder, "lake.csv", 300, 300)}, rig(), How{}, Options{Limits: tell.DefaultLimits(), Seen: Seen{Clips: clips, ClipError: sim.Second}})
	require.NoError(t, err)
	require.NotEmpty(t, flights[0].Card)
	require.Len(t, flights[0].Clips, 3)
}

// TestClipsFromStandardInput: it is a list, not a card.
func TestClipsFromStandardInput(t *testing.T) {
	list := put(t, t.TempDir(), "card.csv", "duration\n5s\n7s\n")
	clips, err := readerOf(t, list).Clips([]string{"-"})
	require.NoError(t, err)
	seen, lines := clips.Observed(nil, sim.Second)
	require.Equal(t, belief.Observations{Clips: []belief.Clip{{Length: 5 * sim.Second}, {Length: 7 * sim.Second}}, ClipError: sim.Second}, seen)
	require.Empty(t, lines)

	_, err = readerOf(t, put(t, t.TempDir(), "card.csv", "duration\nlong\n")).Clips([]string{"-"})
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, "standard input:2:1")
}

func TestClipsThatCannotBeRead(t *testing.T) {
	folder := t.TempDir()
	_, err := newReader().Clips([]string{filepath.Join(folder, "none")})
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, "cannot read the clips: ")
	require.ErrorIs(t, err, os.ErrNotExist)

	_, err = newReader().ClipList(folder)
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, "is a folder, want a file")

	list := put(t, folder, "card.csv", "duration\n5s\nlong\n")
	_, err = newReader().Clips([]string{list})
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, list+":3:1")
}

// TestTheFlightsSayWhatTheTimesOfClipsMean: the takes start 15 s apart and end 10 s
// apart, and the headers' times are 10 s apart. So these are the ends.
func TestTheFlightsSayWhatTheTimesOfClipsMean(t *testing.T) {
	folder := t.TempDir()
	dawn := time.Date(2026, 6, 14, 5, 0, 0, 0, time.UTC)
	one := put(t, folder, "one.mp4", string(bmfftest.Video(10*time.Second, dawn)))
	two := put(t, folder, "two.mp4", string(bmfftest.Video(5*time.Second, dawn.Add(10*time.Second))))
	for _, name := range []string{one, two} {
		require.NoError(t, os.Chtimes(name, dawn, dawn), "says nothing about the clips")
	}
	r := newReader()
	clips, err := r.Clips([]string{one, two})
	require.NoError(t, err)
	flights, err := r.Replay([]string{aloft(t, folder, "lake.csv", 300, 0, 300, 300, 300)}, rig(), How{}, Options{Limits: tell.DefaultLimits(), Seen: Seen{Clips: clips, ClipError: sim.Second}})
	require.NoError(t, err)
	require.Len(t, flights[0].Replay.Takes, 2)
	require.Len(t, flights[0].Card, 2)
	require.Contains(t, flights[0].Card[1], "the times in the files' headers are when a clip ended")
	require.Equal(t, 15*sim.Second, flights[0].Clips[1].Start-flights[0].Clips[0].Start)
}
