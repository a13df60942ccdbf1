package lists

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/excerpt"
	"flicktally/sim/fit"
)

const s = sim.Second

// TestClips: every way to write a list of clips.
func TestClips(t *testing.T) {
	for _, test := range []struct {
		name, text string
		want       []belief.Clip
	}{
		{"nothing", "", []belief.Clip{}},
		{"a header only", "duration,start\n", []belief.Clip{}},
		{"durations", "41\n0:41\n1:02:03.5\n41s\n", []belief.Clip{{Length: 41 * s}, {Length: 41 * s}, {Length: 3723500 * sim.Millisecond}, {Length: 41 * s}}},
		{"all columns, no header", "41,100,LAKE1\n", []belief.Clip{{Name: "LAKE1", Length: 41 * s, Start: 100 * s, HasStart: true}}},
		{"columns in another order", "File,Start,Notes,Duration\r\nLAKE1,0:10,the start,41\r\nLAKE2,,,7\r\n",
			[]belief.Clip{{Name: "LAKE1", Length: 41 * s, Start: 10 * s, HasStart: true}, {Name: "LAKE2", Length: 7 * s}}},
		{"semicolons and decimal comma", "\ufeffduration;name\n 41,5 ; LAKE1\n", []belief.Clip{{Name: "LAKE1", Length: 41500 * sim.Millisecond}}},
		{"tabs", "duration\tname\n41\tLAKE1\n", []belief.Clip{{Name: "LAKE1", Length: 41 * s}}},
		{"comments, empty lines, quotes", "# the card\n\nduration,name\n\"41\",\"LAKE, \"\"one\"\"\"\n", []belief.Clip{{Name: `LAKE, "one"`, Length: 41 * s}}},
		{"dates", "duration,start\n41,2026-06-14 14:03:22.5\n41,2026-06-14T14:05:22Z\n",
			[]belief.Clip{{Length: 41 * s, Start: 1781445802500 * sim.Millisecond, HasStart: true}, {Length: 41 * s, Start: 1781445922 * s, HasStart: true}}},
		{"past midnight", "duration,start\n41,23:59:00\n41,0:01:00\n",
			[]belief.Clip{{Length: 41 * s, Start: 86340 * s, HasStart: true}, {Length: 41 * s, Start: 86460 * s, HasStart: true}}},
	} {
		t.Run(test.name, func(t *testing.T) {
			clips, err := ReadClips(strings.NewReader(test.text), "clips.csv")
			require.NoError(t, err)
			require.Equal(t, test.want, clips)
		})
	}
}

// TestTrials: every way to write a list of trials.
func TestTrials(t *testing.T) {
	want := []fit.Trial{{Hold: 80 * sim.Millisecond, Outcome: fit.Nothing}, {Hold: 1500 * sim.Millisecond, Outcome: fit.Long}}
	for name, text := range map[string]string{
		"units":             "hold,outcome\n80ms,nothing\n1.5s,long\n",
		"no header":         "80ms,nothing\n1.5s,long\n",
		"unit in a header":  "outcome;hold_ms\nNothing;80,0\nLONG;1500\n",
		"unit in brackets":  "hold (s),result\n0.08,nothing\n1.5,long\n",
		"units in both":     "hold [us],outcome\n80ms,nothing\n1500000,long\n",
		"spaces":            "hold, outcome\n80 ms, nothing\n1.5  s, long\n",
		"other columns too": "n,hold,camera,outcome\n1,80ms,a,nothing\n2,1.5s,a,long\n",
	} {
		t.Run(name, func(t *testing.T) {
			trials, err := ReadTrials(strings.NewReader(text), "trials.csv")
			require.NoError(t, err)
			require.Equal(t, want, trials)
			var written strings.Builder
			require.NoError(t, WriteTrials(&written, trials))
			again, err := ReadTrials(strings.NewReader(written.String()), "again.csv")
			require.NoError(t, err)
			require.Equal(t, want, again)
		})
	}
}

func readClips(text string) error {
	_, err := ReadClips(strings.NewReader(text), "clips.csv")
	return err
}

func readTrials(text string) error {
	_, err := ReadTrials(strings.NewReader(text), "trials.csv")
	return err
}

// TestErrors: every fault has its place, what was found and what is wanted.
func TestErrors(t *testing.T) {
	for _, test := range []struct {
		name string
		err  error
		want string
	}{
		{"a bad duration", readClips("duration\n41\nlong\n"), "found \"long\", want a duration in seconds, or such as \"0:41\", \"1:02:03.5\" or \"41s\"\n  line 3, column 1 of clips.csv reads: »long"},
		{"a negative duration", readClips("duration\n-41\n"), "found \"-41\", want a duration in seconds, or such as \"0:41\", \"1:02:03.5\" or \"41s\"\n  line 2, column 1 of clips.csv reads: »-41"},
		{"no duration", readClips("name,duration\nLAKE1\n"), "found no duration, want a duration in seconds, or such as \"0:41\", \"1:02:03.5\" or \"41s\"\n  line 2, column 1 of clips.csv reads: »LAKE1"},
		{"a bad start", readClips("duration,start\n41, noon\n"), "found \"noon\", want a time such as \"14:03:22\", \"2026-06-14 14:03:22\" or seconds\n  line 2, column 5 of clips.csv reads: 41, »noon"},
		{"out of order", readClips("duration,start\n41,100\n41,90\n"), "found \"90\", want the clips in the order of their starts\n  line 3, column 4 of clips.csv reads: 41,»90"},
		{"no duration column", readClips("name,start\nLAKE1,0\n"), "found a header without duration, want the headers duration, start, name\n  line 1, column 1 of clips.csv reads: »name,start"},
		{"a column twice", readClips("duration,length\n41,41\n"), "found a second column duration, want one\n  line 1, column 10 of clips.csv reads: duration,»length"},
		{"a quote", readClips("duration\n4\"1\n"), "found a quote that is out of place, want fields in plain text or in \"quotes\" (RFC 4180)\n  line 2, column 2 of clips.csv reads: 4»\"1"},
		{"a control character", readClips("duration\n\x1b[31m\n"), "found \"\\x1b[31m\", want a duration in seconds, or such as \"0:41\", \"1:02:03.5\" or \"41s\"\n  line 2, column 1 of clips.csv reads: »·[31m"},
		{"a hold without a unit", readTrials("hold,outcome\n80,nothing\n"), "found \"80\", want a hold with a unit, such as \"80ms\" or \"0.12s\", or the unit in the header, as in hold_ms\n  line 2, column 1 of trials.csv reads: »80,nothing"},
		{"an unknown outcome", readTrials("hold_ms,outcome\n80,blink\n"), "found \"blink\", want \"nothing\", \"toggled\" or \"long\"\n  line 2, column 4 of trials.csv reads: 80,»blink"},
		{"a long list", readClips(strings.Repeat("41\n", maxSize/3+1)), "found more than 1024 KiB, want a short list\n  line 1, column 1 of clips.csv reads: »41"},
	} {
		t.Run(test.name, func(t *testing.T) {
			var placed *excerpt.SyntaxError
			require.True(t, errors.As(test.err, &placed), "%v", test.err)
			require.Equal(t, test.want, placed.Explain())
		})
	}
}

func TestAListSaysWhereTheStreamBroke(t *testing.T) {
	gone := errors.New("the card is gone")
	_, err := ReadClips(io.MultiReader(strings.NewReader("duration\n41\n"), iotest.ErrReader(gone)), "clips.csv")
	require.ErrorIs(t, err, gone)
	require.EqualError(t, err, "clips.csv:3: the card is gone")
}

// FuzzLists: whatever a list contains, reading ends, and an error has a place.
func FuzzLists(f *testing.F) {
	for _, seed := range []string{"", "duration,start\n41,14:03:22\n", "hold_ms;outcome\n80,5;nothing\n", "\"", "a\n\"b", "#\n,,\n", "41\t\t\n", "\ufeff41", "a;b\n\x1b[2J;\"c\nd\"", "duration\n41\n\"", "hold_ms,outcome\n80,\u202e"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, err := range []error{readClips(text), readTrials(text)} {
			if err != nil {
				requirePlaced(t, text, err)
			}
		}
	})
}

func requirePlaced(t *testing.T, text string, err error) {
	var placed *excerpt.SyntaxError
	require.True(t, errors.As(err, &placed), "an error without a place: %v", err)
	lines := strings.Split(strings.TrimPrefix(text, "\ufeff"), "\n")
	require.True(t, placed.Line >= 1 && placed.Line <= len(lines), "line %d", placed.Line)
	require.True(t, placed.Column >= 1 && placed.Column <= len(lines[placed.Line-1])+1, "column %d", placed.Column)
	for line := range strings.Lines(placed.Explain()) {
		line = strings.TrimSuffix(line, "\n")
		require.Equal(t, excerpt.Printable(line), line)
	}
}
