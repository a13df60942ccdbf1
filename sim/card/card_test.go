package card

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/bmff"
)

const (
	s    = sim.Second
	dawn = 1_781_445_802 * s // 2026-06-14 14:03:22 by the camera's clock
	zone = 2 * sim.Hour      // the camera writes local time, the file system UTC
)

// shot is a file of a camera that writes when a clip started.
func shot(name string, begin, length sim.Micros) File {
	return File{Name: name, Size: int64(length), Modified: dawn + begin + length - zone,
		Header: bmff.Header{Length: length, Created: (dawn + begin) / s * s, Closed: true}}
}

// ending is the same file of a camera that writes when it ended.
func ending(f File) File {
	f.Header.Created += f.Header.Length / s * s
	return f
}

// untimed is the same file of a camera that writes no time.
func untimed(f File) File {
	f.Header.Created = 0
	return f
}

// open is the same file if it was never closed.
func open(f File) File {
	f.Header = bmff.Header{}
	return f
}

func listed(c *Card) (all []string) {
	for _, clip := range c.clips {
		length, start := clip.Length.String(), "-"
		if clip.NoLength {
			length = "?"
		}
		if clip.HasStart {
			start = (clip.Start - dawn).String()
		}
		all = append(all, fmt.Sprintf("%s %s from %s", clip.Name, length, start))
	}
	return all
}

func TestClips(t *testing.T) {
	plain := []File{shot("LAKE0001.MP4", 0, 30*s), shot("LAKE0002.MP4", 100*s, 41*s), shot("LAKE0003.MP4", 300*s, 20*s)}
	each := func(files []File, change func(File) File) (changed []File) {
		for _, f := range files {
			changed = append(changed, change(f))
		}
		return changed
	}
	lost := func(f File) File { f.Modified = dawn + 9*sim.Hour; return f } // a copy that lost the files' times
	for _, test := range []struct {
		rule  string
		files []File
		want  []string
		times times
	}{
		{"no file", nil, nil, headerBegin},
		{"headers tell when a clip began", plain, []string{"LAKE0001.MP4 30s from 0s", "LAKE0002.MP4 41s from 100s", "LAKE0003.MP4 20s from 300s"}, headerBegin},
		{"or when it ended", each(plain, ending), []string{"LAKE0001.MP4 30s from 0s", "LAKE0002.MP4 41s from 100s", "LAKE0003.MP4 20s from 300s"}, headerEnd},
		{"in order of time, not of names", []File{shot("A.MP4", 300*s, 20*s), shot("B.MP4", 0, 30*s), shot("C.MP4", 100*s, 41*s)},
			[]string{"B.MP4 30s from 0s", "C.MP4 41s from 100s", "A.MP4 20s from 300s"}, headerBegin},
		{"without a time in the headers, the file's less its length", each(plain, untimed),
			[]string{"LAKE0001.MP4 30s from -7200s", "LAKE0002.MP4 41s from -7100s", "LAKE0003.MP4 20s from -6900s"}, headerBegin},
		{"by the headers' clock, where some have one", []File{plain[0], untimed(plain[1]), plain[2]},
			[]string{"LAKE0001.MP4 30s from 0s", "LAKE0002.MP4 41s from 100s", "LAKE0003.MP4 20s from 300s"}, headerBegin},
		{"a copy that lost them has no starts, and the order of names", each(each(plain, untimed), lost),
			[]string{"LAKE0001.MP4 30s from -", "LAKE0002.MP4 41s from -", "LAKE0003.MP4 20s from -"}, headerBegin},
		{"or keeps a place among those with a time", []File{plain[0], lost(untimed(shot("LAKE0002.MP4", 0, 41*s))), lost(plain[2])},
			[]string{"LAKE0001.MP4 30s from 0s", "LAKE0002.MP4 41s from -", "LAKE0003.MP4 20s from 300s"}, headerBegin},
		{"never closed", []File{plain[0], open(plain[1]), plain[2]}, []string{"LAKE0001.MP4 30s from 0s", "LAKE0002.MP4 ? from -", "LAKE0003.MP4 20s from 300s"}, headerBegin},
		{"never closed, and the last", []File{open(shot("A.MP4", 500*s, 9*s)), plain[1], plain[2]}, []string{"LAKE0002.MP4 41s from 100s", "LAKE0003.MP4 20s from 300s", "A.MP4 ? from -"}, headerBegin},
		{"parts are joined", []File{shot("LAKE0001.MP4", 0, 480*s), shot("LAKE0002.MP4", 480*s, 480*s), shot("LAKE0003.MP4", 960*s+s/2, 33*s), shot("LAKE0004.MP4", 1000*s, 5*s)},
			[]string{"LAKE0001.MP4 993s from 0s", "LAKE0004.MP4 5s from 1000s"}, headerBegin},
		{"of headers that tell the end, too", each([]File{shot("LAKE0001.MP4", 0, 480*s), shot("LAKE0002.MP4", 480*s, 480*s), shot("LAKE0003.MP4", 960*s, 33*s)}, ending),
			[]string{"LAKE0001.MP4 993s from 0s"}, headerEnd},
		{"a second and more is no part", []File{shot("LAKE0001.MP4", 0, 30*s), shot("LAKE0002.MP4", 32*s, 30*s)}, []string{"LAKE0001.MP4 30s from 0s", "LAKE0002.MP4 30s from 32s"}, headerBegin},
		{"the file system's time joins nothing", each([]File{shot("LAKE0001.MP4", 0, 30*s), shot("LAKE0002.MP4", 30*s, 30*s)}, untimed),
			[]string{"LAKE0001.MP4 30s from -7200s", "LAKE0002.MP4 30s from -7170s"}, headerBegin},
		{"folders", []File{shot("100LAKE/0001.MP4", 0, 30*s), shot("101LAKE/0001.MP4", 100*s, 41*s), shot("101LAKE/0002.MP4", 300*s, 20*s)},
			[]string{"100LAKE/0001.MP4 30s from 0s", "101LAKE/0001.MP4 41s from 100s", "0002.MP4 20s from 300s"}, headerBegin},
	} {
		t.Run(test.rule, func(t *testing.T) {
			c := New(test.files)
			require.Equal(t, test.want, listed(c))
			require.Equal(t, test.times, c.times)
			shuffled := slices.Clone(test.files)
			rand.New(rand.NewPCG(1, 2)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
			require.Equal(t, test.want, listed(New(shuffled)), "the order in which files are found does not matter")
		})
	}
}

func TestLines(t *testing.T) {
	small := shot("LAKE0001.LRV", 0, 30*s)
	small.Size = 9
	byTime := shot("PROXY/0002.MP4", 100*s, 41*s)
	byTime.Size = 9
	unread := File{Name: "LAKE0009.MP4", Err: errors.New("input/output \x1b[2Jerror")}
	c := New([]File{
		shot("LAKE0001.MP4", 0, 30*s), small, shot("LAKE0002.MP4", 100*s, 41*s), byTime, shot("LAKE0003.MP4", 141*s, 20*s),
		untimed(shot("LAKE0004.MP4", 300*s, 10*s)), open(shot("LAKE\x1b0005.MP4", 400*s, 10*s)),
		{Name: "LAKE0001.JPG", Err: bmff.ErrNoVideo}, {Name: "card.txt", Err: bmff.ErrNoVideo}, unread,
	})
	require.Equal(t, []string{
		"4 clips in 10 files, 1:41 in all",
		"the times in the files' headers are when a clip began, by the files' own times",
		"start by the file's own time, to 2 s: LAKE0004.MP4",
		"parts of one clip: LAKE0002.MP4, LAKE0003.MP4",
		`never closed, so of unknown length: LAKE\x1b0005.MP4`,
		"smaller copies, left out: LAKE0001.LRV, 0002.MP4",
		"no video, ignored: LAKE0001.JPG, card.txt",
		`could not be read: LAKE0009.MP4: input/output \x1b[2Jerror`,
	}, c.Lines())
	require.Equal(t, 2*s, c.ClipError(s))
	require.Equal(t, 5*s, c.ClipError(5*s))
	require.Equal(t, []belief.Clip{
		{Name: "LAKE0001.MP4", Length: 30 * s, Start: dawn, HasStart: true},
		{Name: "LAKE0002.MP4", Length: 61 * s, Start: dawn + 100*s, HasStart: true,
			Parts: []belief.Part{{Name: "LAKE0002.MP4", Length: 41 * s}, {Name: "LAKE0003.MP4", Length: 20 * s}}},
		{Name: "LAKE0004.MP4", Length: 10 * s, Start: dawn + 300*s, HasStart: true},
		{Name: "LAKE\x1b0005.MP4", NoLength: true},
	}, c.Observed())

	var many []File
	for n := range 20 {
		many = append(many, File{Name: fmt.Sprintf("LAKE%d.JPG", n), Err: bmff.ErrNoVideo})
	}
	require.Equal(t, []string{
		"0 clips in 20 files",
		"no video, ignored: LAKE0.JPG, LAKE1.JPG, LAKE2.JPG, LAKE3.JPG, LAKE4.JPG, LAKE5.JPG, LAKE6.JPG, LAKE7.JPG and 12 more",
	}, New(many).Lines())
	one := New([]File{shot("LAKE0001.MP4", 0, 30*s)})
	require.Equal(t, s, one.ClipError(s))
	require.Contains(t, one.Lines(), "the times in the files' headers are when a clip began, assumed, as nothing says otherwise")
}

// TestPartsOfTheSameTimeAndLengthAreNoCopies: a camera may write the time of the
// first into every part.
func TestPartsOfTheSameTimeAndLengthAreNoCopies(t *testing.T) {
	c := New([]File{shot("GL010001.MP4", 0, 480*s), shot("GL020001.MP4", 0, 480*s)})
	require.Len(t, c.clips, 2)
}

// flown makes the takes of a flight that starts at a time of the card's clock.
func flown(from sim.Micros, spans ...sim.Micros) (takes []sim.Take) {
	for pair := range slices.Chunk(spans, 2) {
		takes = append(takes, sim.Take{N: len(takes) + 1, Start: pair[0] - from, End: pair[1] - from})
	}
	return takes
}

func TestSettle(t *testing.T) {
	files := []File{shot("1.MP4", 0, 30*s), shot("2.MP4", 100*s, 41*s), shot("3.MP4", 300*s, 20*s), shot("4.MP4", 400*s, 55*s)}
	lost := slices.Clone(files) // a copy that lost the files' times
	var ended []File
	for i := range lost {
		lost[i].Modified = 0
		ended = append(ended, ending(lost[i]))
	}
	first, second := flown(-10*s, 0, 30*s, 100*s, 141*s), flown(290*s, 300*s, 320*s, 400*s, 455*s)
	for _, test := range []struct {
		rule    string
		files   []File
		flights [][]sim.Take
		times   times
		how     string
	}{
		{"nothing tells", ended, nil, headerBegin, "assumed, as nothing says otherwise"},
		{"the log tells", ended, [][]sim.Take{first}, headerEnd, "as that fits the log"},
		{"several flights", ended, [][]sim.Take{first, second}, headerEnd, "as that fits the log"},
		{"of beginnings as well", lost, [][]sim.Take{first, second}, headerBegin, "as that fits the log"},
		{"it outweighs what the files tell", withTimes(ended, func(f File) sim.Micros { return f.Header.Created + f.Header.Length }), [][]sim.Take{first}, headerEnd, "as that fits the log"},
		{"a flight of one take tells nothing", files, [][]sim.Take{flown(0, 0, 30*s)}, headerBegin, "by the files' own times"},
		{"nor does one whose takes are not on the card", files, [][]sim.Take{flown(0, 0, 7*s, 9*s, 17*s)}, headerBegin, "by the files' own times"},
	} {
		t.Run(test.rule, func(t *testing.T) {
			c := New(test.files)
			c.Settle(test.flights, s)
			require.Equal(t, test.times, c.times)
			require.Equal(t, test.how, c.how)
			if test.how == "as that fits the log" {
				require.Equal(t, []string{"1.MP4 30s from 0s", "2.MP4 41s from 100s", "3.MP4 20s from 300s", "4.MP4 55s from 400s"}, listed(c))
			}
		})
	}
}

func withTimes(files []File, of func(File) sim.Micros) (changed []File) {
	for _, f := range files {
		f.Modified = of(f)
		changed = append(changed, f)
	}
	return changed
}

// TestSettleIsRight simulates flights whose takes differ in length, and a card with
// clips of two other days, headers in whole seconds and no times in the file system:
// how often does the log settle the meaning of the times correctly?
func TestSettleIsRight(t *testing.T) {
	random := rand.New(rand.NewPCG(2026, 7))
	const outings = 400
	settled, right := 0, 0
	for range outings {
		var files []File
		var takes []sim.Take
		at := sim.Micros(0)
		isEnd := random.IntN(2) == 1
		for n := range 18 {
			at += sim.Micros(5+random.IntN(60))*s + sim.Micros(random.IntN(1e6))
			length := sim.Micros(5+random.IntN(40))*s + sim.Micros(random.IntN(1e6))
			f := File{Name: fmt.Sprint(n), Size: 1, Header: bmff.Header{Length: length, Created: (dawn + at) / s * s, Closed: true}}
			if isEnd {
				f.Header.Created = (dawn + at + length) / s * s
			}
			files = append(files, f)
			if n >= 6 && n < 12 {
				off := sim.Micros(random.IntN(400)-200) * sim.Millisecond
				takes = append(takes, sim.Take{Start: at - 1000, End: at + length + off})
			}
			at += length
		}
		c := New(files)
		c.Settle([][]sim.Take{takes}, s)
		if c.how != "as that fits the log" {
			continue
		}
		settled++
		if isEnd == (c.times == headerEnd) {
			right++
		}
	}
	require.Greater(t, settled, outings*95/100)
	require.Greater(t, right, settled*99/100)
	t.Logf("settled in %d of %d, right in %d", settled, outings, right)
}

// TestNothingIsLostOrDoubled: whatever the files, each is in one clip or listed.
func TestNothingIsLostOrDoubled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var files []File
		for n := range rapid.IntRange(0, 12).Draw(t, "files") {
			f := File{Name: fmt.Sprintf("%dLAKE/%d.MP4", n%2, n/2), Size: rapid.Int64Range(0, 9).Draw(t, "size"), Modified: sim.Micros(rapid.Int64Range(0, 300).Draw(t, "modified")) * s}
			switch rapid.IntRange(0, 4).Draw(t, "kind") {
			case 0:
				f.Err = bmff.ErrNoVideo
			case 1:
				f.Err = errors.New("gone")
			case 2:
				f.Header.Closed = false
			default:
				f.Header = bmff.Header{Length: sim.Micros(rapid.Int64Range(0, 60).Draw(t, "length")) * s, Created: sim.Micros(rapid.Int64Range(-9, 300).Draw(t, "created")) * s, Closed: true}
			}
			files = append(files, f)
		}
		c := New(files)
		c.Settle([][]sim.Take{flown(0, 0, 30*s, 100*s, 141*s)}, s)
		names := append(append(each(c.copies), each(c.others)...), each(c.broken)...)
		for _, clip := range c.clips {
			require.NotEmpty(t, clip.Files)
			require.True(t, !clip.NoLength || clip.Length >= 0)
			names = append(names, clip.Files...)
		}
		want := each(files)
		slices.Sort(names)
		slices.Sort(want)
		require.Equal(t, want, names)
		for i, clip := range c.clips {
			require.True(t, i == 0 || c.clips[i-1].key <= clip.key)
		}
	})
}

func each(files []File) []string {
	names := []string{}
	for _, f := range files {
		names = append(names, f.Name)
	}
	return names
}

func TestCompareNames(t *testing.T) {
	names := []string{"", "A", "LAKE9.MP4", "LAKE09.MP4", "LAKE10.MP4", "LAKE10B.MP4", "LAKE100.MP4", "LAKEA.MP4"}
	for i, a := range names {
		for j, b := range names {
			require.Equal(t, i < j, compareNames(a, b) < 0, "%q %q", a, b)
		}
	}
}
