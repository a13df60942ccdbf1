package export

import (
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/flight"
)

func TestEdits(t *testing.T) {
	rate, err := ParseRate("25")
	require.NoError(t, err)
	got := written(t, func(w io.Writer) error { return Edits(w, []flight.Flight{withCard(), regatta(nil)}, rate) })
	require.Equal(t, strings.ReplaceAll(`TITLE: Heron: takes
FCM: NON-DROP FRAME

001  LAKE0001 V     C        00:00:00:00 00:00:04:00 01:00:00:00 01:00:04:00
* FROM CLIP NAME: LAKE0001.MP4
* take 1, LAKE0001.MP4, 0:05.750, ended by press 3 of regatta.csv, from 0:02.550

002  LAKE0002 V     C        00:00:00:00 00:00:02:00 01:00:04:00 01:00:06:00
* FROM CLIP NAME: LAKE0002.MP4
* take 1, LAKE0001.MP4, 0:05.750, ended by press 3 of regatta.csv, from 0:06.550

003  LAKE0003 V     C        00:00:00:00 00:00:02:02 01:00:06:00 01:00:08:02
* FROM CLIP NAME: LAKE0003.MP4
* take 2, LAKE0003.MP4, 0:02.110, still running when the log ends of regatta.csv, from 0:11.880

004  TAKE0001 V     C        00:00:00:00 00:00:05:18 01:00:08:02 01:00:13:20
* take 1, 0:05.750, ended by press 3 of regatta.csv, from 0:02.550

005  TAKE0002 V     C        00:00:00:00 00:00:02:02 01:00:13:20 01:00:15:22
* take 2, 0:02.110, still running when the log ends of regatta.csv, from 0:11.880
`, "\n", "\r\n"), got)
	require.Equal(t, "TITLE: takes\r\nFCM: NON-DROP FRAME\r\n", written(t, func(w io.Writer) error { return Edits(w, nil, rate) }))
	_, err = ParseRate("26")
	require.ErrorContains(t, err, `found "26" pictures a second, want "23.976", "24"`)
}

// Time codes count pictures without dropping any: 30000/1001 a second are counted
// as 30 (SMPTE 12M, from memory), so an hour of them shows as 3.6 s less.
func TestTimeCodes(t *testing.T) {
	for _, test := range []struct {
		rate   string
		length sim.Micros
		want   string
	}{
		{"25", 5_750_000, "00:00:05:18"}, {"25", 39_999, "00:00:00:00"}, {"25", 40_000, "00:00:00:01"}, {"25", sim.Hour, "01:00:00:00"},
		{"29.97", sim.Hour, "00:59:56:12"}, {"30", sim.Hour, "01:00:00:00"}, {"23.976", 1001 * sim.Second, "00:16:40:00"}, {"59.94", 1_001_000, "00:00:01:00"},
		{"60", 3 * 24 * sim.Hour, "00:00:00:00"},
	} {
		rate, err := ParseRate(test.rate)
		require.NoError(t, err)
		require.Equal(t, test.want, rate.code(rate.frames(test.length)), "%s at %s", test.length, test.rate)
	}
}

// TestEditsReadBack reads every list by the columns of the form, as its readers do:
// an event lasts as long at its source as in the programme, and each begins where the
// one before ends.
func TestEditsReadBack(t *testing.T) {
	event := regexp.MustCompile(`^(\d{3,})  ([A-Z0-9]{1,8}) +V     C        (\S+) (\S+) (\S+) (\S+)$`)
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.SampledFrom(rates).Draw(t, "rate")
		each := int64(0)
		if _, err := fmt.Sscanf(rate.Name, "%d", &each); err == nil && strings.Contains(rate.Name, ".") {
			each++
		}
		frames := func(code string) (n int64) {
			parts := strings.Split(code, ":")
			require.Len(t, parts, 4)
			for i, unit := range []int64{3600 * each, 60 * each, each, 1} {
				require.Len(t, parts[i], 2)
				v, err := strconv.ParseInt(parts[i], 10, 64)
				require.NoError(t, err)
				require.True(t, i < 3 || v < each)
				n += v * unit
			}
			return n
		}
		f := withCard()
		f.Replay.Takes = nil
		at := sim.Micros(0)
		for n := range rapid.IntRange(0, 9).Draw(t, "takes") {
			length := sim.Micros(rapid.Int64Range(1, 9e8).Draw(t, "length"))
			f.Replay.Takes = append(f.Replay.Takes, sim.Take{N: n + 1, Start: at, End: at + length})
			at += length
		}
		f.Clips[1].Name = rapid.SampledFrom([]string{"LAKE0001.MP4", "lake über.mp4", "TAKE0002", "\x1b[2J", "a/b/" + strings.Repeat("LAKE", 9) + "7.MOV"}).Draw(t, "name")
		var b strings.Builder
		require.NoError(t, Edits(&b, []flight.Flight{f}, rate))
		events, end := 0, rate.frames(sim.Hour)
		reels := map[string]int{}
		for line := range strings.SplitSeq(b.String(), "\r\n") {
			require.NotContains(t, line, "\n")
			for _, r := range line {
				require.True(t, r >= ' ' && r <= '~', "%q", line)
			}
			m := event.FindStringSubmatch(line)
			if m == nil {
				require.True(t, line == "" || line[0] == '*' || line[0] == 'T' || line[0] == 'F', "%q", line)
				continue
			}
			events++
			reels[m[2]]++
			require.Equal(t, fmt.Sprintf("%03d", events), m[1])
			require.Equal(t, frames(m[4])-frames(m[3]), frames(m[6])-frames(m[5]))
			require.Equal(t, end, frames(m[5]))
			require.Greater(t, frames(m[6]), end)
			end = frames(m[6])
		}
		require.Len(t, allFootage([]flight.Flight{f}), events)
		require.Len(t, reels, events, "every file has a reel of its own")
	})
}
