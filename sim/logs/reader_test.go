package logs

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/chanlog"
	"flicktally/sim/files"
	"flicktally/sim/flight"
	"flicktally/sim/problem"
	"flicktally/sim/tell"
)

// aloft writes a log of flicks with holds in ms, one every 5 s.
func aloft(t *testing.T, folder, name string, holds ...int) string {
	t.Helper()
	var rows strings.Builder
	rows.WriteString("time_ms,aux1\n")
	for at := 0; at < 5000*(len(holds)+1); at += 10 {
		value := 1000
		if n := at / 5000; n > 0 && at%5000 < holds[n-1] {
			value = 2000
		}
		fmt.Fprintf(&rows, "%d,%d\n", at, value)
	}
	path := filepath.Join(folder, name)
	require.NoError(t, os.WriteFile(path, []byte(rows.String()), 0o666))
	return path
}

func newReader() *Reader {
	return &Reader{Desk: files.NewDesk(nil, io.Discard, func(string, ...any) {})}
}

func rig() sim.Rig {
	r := sim.DefaultRig()
	r.Log.Channel = "aux1"
	return r
}

// Observations of one flight affect the others: several logs with observations are
// judged together, and each has its own glances and clips.
func TestReplayOfAnOuting(t *testing.T) {
	folder := t.TempDir()
	lake, sea := aloft(t, folder, "lake.csv", 300, 300), aloft(t, folder, "sea.csv", 300, 300)
	r := newReader()
	seen := Seen{ClipError: sim.Second, Clips: ListedClips([]belief.Clip{{Length: 5 * sim.Second}, {Length: 5 * sim.Second}})}
	require.NoError(t, seen.AddGlance("sea.csv@0:7=recording", []string{lake, sea}))
	flights, err := r.Replay([]string{lake, sea}, rig(), How{}, Options{Limits: tell.DefaultLimits(), Seen: seen})
	require.NoError(t, err)
	require.Len(t, flights, 2)
	require.Empty(t, flights[0].Seen)
	require.Equal(t, []belief.Glance{{At: 7 * sim.Second, Light: belief.LightRecording}}, flights[1].Seen)
	require.Equal(t, []belief.Pair{{Clip: 1, Take: 1}}, flights[0].Known.Pairs)
	require.Equal(t, []belief.Pair{{Clip: 2, Take: 1}}, flights[1].Known.Pairs)
	require.ErrorContains(t, r.Desk.MayWrite(lake, true), "as both input and output")

	both, err := r.readWith(lake, []sim.Rig{rig(), rig()}, How{}, flight.Options{})
	require.NoError(t, err)
	require.Equal(t, both[0][0].Replay.Takes, both[1][0].Replay.Takes)
}

func TestGlanceErrors(t *testing.T) {
	two := []string{"a/lake.csv", "b/lake.csv"}
	for text, want := range map[string]string{
		"0:12=recording":           `found "0:12=recording" and 2 logs, want the one in which that was seen`,
		"sea.csv@0:12=recording":   `found "sea.csv@0:12=recording", want LOG@TIME=recording with one of the logs`,
		"lake.csv@0:12=recording":  "several logs of that name, want one with its folder, such as a/lake.csv",
		"a/lake.csv@0:12=blinking": "blinking",
	} {
		var seen Seen
		require.ErrorContains(t, seen.AddGlance(text, two), want)
		require.True(t, seen.None())
	}
}

// An error in a log is marked as such, and names the flags that help.
func TestUnreadable(t *testing.T) {
	folder := t.TempDir()
	_, err := newReader().Read(filepath.Join(folder, "none.csv"), rig(), How{}, Options{}.Options)
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorIs(t, err, os.ErrNotExist)

	other := rig()
	other.Log.Channel = "aux7"
	_, err = newReader().Read(aloft(t, folder, "lake.csv", 300), other, How{NoRig: true}, Options{}.Options)
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.Contains(t, problem.Explain(err), "\n  → no rig file was found that names the columns: flicktally rig new --ask makes one")

	require.Contains(t, problem.Explain(How{}.Unreadable(chanlog.ErrBreaksOff)), "\n  → --lenient skips")
	usage := problem.WrongUsage(errors.New("a"))
	require.Equal(t, usage, How{}.Unreadable(usage), "it was said whose it is")
}

func TestSeveralListsOfClips(t *testing.T) {
	folder := t.TempDir()
	list := filepath.Join(folder, "card.csv")
	require.NoError(t, os.WriteFile(list, []byte("duration\n5s\n"), 0o666))
	r := newReader()
	clips, err := r.Clips([]string{list})
	require.NoError(t, err)
	require.Equal(t, []belief.Clip{{Length: 5 * sim.Second}}, clips.list)
	_, err = r.Clips([]string{list, list})
	require.Equal(t, problem.Usage, problem.KindOf(err))
	none, err := r.Clips(nil)
	require.NoError(t, err)
	require.Nil(t, none)
}
