package bmff

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/bmff/bmfftest"
)

// The functions that make boxes follow ISO/IEC 14496-12: §4.2 for a box, §8.2.2 mvhd, §8.3.2
// tkhd, §8.4.2 mdhd, §8.4.3 hdlr, §8.8.2 mehd, §8.8.3 trex, §8.8.7 tfhd, §8.8.8
// trun, §8.8.12 tfdt.

func u32(v uint64) []byte { return bmfftest.Uint32(uint32(v)) }
func u64(v uint64) []byte { return binary.BigEndian.AppendUint64(nil, v) }

func join(parts ...[]byte) []byte { return bytes.Join(parts, nil) }

var atom, full = bmfftest.Box, bmfftest.Full

// wide is a box with a length of 64 bits.
func wide(kind string, parts ...[]byte) []byte {
	body := join(parts...)
	return join(u32(1), []byte(kind), u64(uint64(16+len(body))), body)
}

// sized writes a field of 32 bits in version 0 and of 64 in version 1.
func sized(version byte, v uint64) []byte {
	if version == 0 {
		return u32(v)
	}
	return u64(v)
}

// timed makes an mvhd or mdhd.
func timed(kind string, version byte, created, scale, duration uint64) []byte {
	return full(kind, version, 0, sized(version, created), sized(version, created), u32(scale), sized(version, duration), make([]byte, 80))
}

func trackOf(kind string, number uint64, version byte, scale, duration uint64) []byte {
	return atom("trak",
		full("tkhd", version, 3, sized(version, 0), sized(version, 0), u32(number), u32(0), sized(version, duration), make([]byte, 60)),
		atom("mdia",
			timed("mdhd", version, 0, scale, duration),
			full("hdlr", 0, 0, u32(0), []byte(kind), make([]byte, 12), []byte("lake\x00")),
			atom("minf", atom("stbl"))))
}

var (
	fileType = atom("ftyp", []byte("isom"), u32(512), []byte("isomavc1"))
	picture  = atom("mdat", []byte("the lake at dawn"))
)

// 2026-06-14 14:03:22 UTC is 1781445802 s since 1970, and 1904 is 24107 days
// before that.
const (
	created = 1_781_445_802 + 24_107*86_400
	ofDawn  = 1_781_445_802 * sim.Second
)

const unknown32, unknown64 = math.MaxUint32, math.MaxUint64

func TestRead(t *testing.T) {
	plain := atom("moov", timed("mvhd", 0, created, 1000, 41_500), trackOf("soun", 1, 0, 48000, 48000*42), trackOf("vide", 2, 0, 30_000, 1_243_241))
	closed := Header{41_441_366, ofDawn, true} // 1243241 / 30000 s
	for _, test := range []struct {
		rule string
		data []byte
		want Header
	}{
		{"moov in front", join(fileType, plain, picture), closed},
		{"moov at the end", join(fileType, picture, plain), closed},
		{"no ftyp, as before the standard", join(picture, plain), closed},
		{"unknown boxes are passed over", join(fileType, atom("uuid", make([]byte, 16)), atom("free"), picture, atom("\xa9lak"), plain), closed},
		{"boxes of 64 bits", join(wide("ftyp", []byte("isom"), u32(0)), wide("mdat", []byte("dawn")), wide("moov", timed("mvhd", 0, created, 1000, 41_500), trackOf("vide", 2, 0, 30_000, 1_243_241))), closed},
		{"the last box goes to the end of the file", join(fileType, picture, u32(0), []byte("moov"), plain[8:]), closed},
		{"version 1", join(fileType, picture, atom("moov", timed("mvhd", 1, created, 1000, 41_500), trackOf("vide", 2, 1, 30_000, 1_243_241))), closed},
		{"longer than 32 bits can count", join(fileType, picture, atom("moov", timed("mvhd", 1, created, 1000, 0), trackOf("vide", 2, 1, 10_000_000, 100_000_000_000))), Header{10_000 * sim.Second, ofDawn, true}},
		{"the longest of several pictures", join(fileType, picture, atom("moov", timed("mvhd", 0, 0, 1, 0), trackOf("vide", 1, 0, 25, 25), trackOf("vide", 2, 0, 25, 50))), Header{2 * sim.Second, 0, true}},
		{"all ones are no duration: that of the whole counts", join(fileType, picture, atom("moov", timed("mvhd", 0, created, 1000, 41_500), trackOf("vide", 2, 0, 30_000, unknown32))), Header{41_500_000, ofDawn, true}},
		{"all ones everywhere", join(fileType, picture, atom("moov", timed("mvhd", 0, created, 1000, unknown32), trackOf("vide", 2, 1, 30_000, unknown64))), Header{0, ofDawn, true}},
		{"no scale", join(fileType, picture, atom("moov", timed("mvhd", 0, created, 0, 5), trackOf("vide", 2, 0, 0, 5))), Header{0, ofDawn, true}},
		{"longer than any flight", join(fileType, picture, atom("moov", timed("mvhd", 1, 0, 1, 1<<63), trackOf("vide", 2, 1, 1, 1<<63))), Header{0, 0, true}},
		{"a clock of another age", join(fileType, picture, atom("moov", timed("mvhd", 1, 1<<60, 1, 5), trackOf("vide", 2, 1, 1, 5))), Header{5 * sim.Second, 0, true}},
		{"never closed", join(fileType, u32(0), []byte("mdat"), []byte("the lake at")), Header{}},
		{"never closed, with the length that was hoped for", join(fileType, u32(1<<30), []byte("mdat"), []byte("the lake at")), Header{}},
		{"never closed, with an empty place for the data", join(fileType, atom("mdat"), []byte("\x00\x01\x02\x03\x04\x05\x06\x07 the lake at")), Header{}},
		{"cut within its header", join(fileType, picture, plain)[:len(fileType)+len(picture)+200], Header{}},
	} {
		t.Run(test.rule, func(t *testing.T) {
			got, err := Read(bytes.NewReader(test.data), int64(len(test.data)))
			require.NoError(t, err)
			require.Equal(t, test.want, got)
		})
	}
}

func TestReadIsNoVideo(t *testing.T) {
	sound := atom("moov", timed("mvhd", 0, created, 1000, 41_500), trackOf("soun", 1, 0, 48000, 48000*42))
	for rule, data := range map[string][]byte{
		"nothing": {}, "text": []byte("duration,name\n0:41,LAKE0001\n"), "a picture in another form": []byte("\xff\xd8\xff\xe0\x00\x10JFIF\x00"),
		"a few zeros": make([]byte, 64), "sound": join(fileType, picture, sound), "a still picture": join(fileType, full("meta", 0, 0, atom("pict")), picture),
		"a form and no more": fileType, "another box first": join(atom("lake"), picture), "a box that is too short for itself": join(u32(4), []byte("mdat")),
		"half a length": []byte{0, 0}, "half a long length": join(u32(1), []byte("mdat"), u32(0)),
	} {
		_, err := Read(bytes.NewReader(data), int64(len(data)))
		require.ErrorIs(t, err, ErrNoVideo, rule)
	}
}

// fragmented makes the header of a file with fragments of track 2, which has 25
// units a second and samples of 1 unit by default.
func fragmented(whole []byte, inHeader uint64, fragments ...[]byte) []byte {
	extends := atom("mvex", whole, full("trex", 0, 0, u32(2), u32(1), u32(1), u32(0), u32(0)))
	return join(append([][]byte{fileType,
		atom("moov", timed("mvhd", 0, created, 1000, inHeader*40), trackOf("soun", 1, 0, 48000, 0), trackOf("vide", 2, 0, 25, inHeader), extends)},
		fragments...)...)
}

func fragment(number uint64, parts ...[]byte) []byte {
	return join(atom("moof", full("mfhd", 0, 0, u32(1)), atom("traf", append([][]byte{full("tfhd", 0, 0, u32(number))}, parts...)...)), picture)
}

func TestReadFragments(t *testing.T) {
	run := func(samples uint64) []byte { return full("trun", 0, 0, u32(samples)) }
	of := func(units ...uint64) []byte {
		var entries []byte
		for _, u := range units {
			entries = join(entries, u32(u), u32(999))
		}
		return full("trun", 0, 0x1|0x4|0x100|0x200, u32(uint64(len(units))), u32(7), u32(7), entries)
	}
	at := func(version byte, time uint64) []byte { return full("tfdt", version, 0, sized(version, time)) }
	long := make([]uint64, 2000)
	for i := range long {
		long[i] = 3
	}
	for _, test := range []struct {
		rule string
		data []byte
		want sim.Micros
	}{
		{"the header says how long the whole is", fragmented(full("mehd", 0, 0, u32(12_500)), 0, fragment(2, run(25))), 12_500_000},
		{"in 64 bits", fragmented(full("mehd", 1, 0, u64(12_500)), 0), 12_500_000},
		{"where it does not, runs are summed up", fragmented(full("mehd", 0, 0, u32(0)), 0, fragment(2, run(25)), fragment(2, run(50), run(25))), 4 * sim.Second},
		{"behind what the header has", fragmented(nil, 50, fragment(2, run(25))), 3 * sim.Second},
		{"unless they say that they begin earlier", fragmented(nil, 75, fragment(2, at(0, 0), run(25)), fragment(2, at(1, 25), run(50))), 3 * sim.Second},
		{"a hole between two", fragmented(nil, 0, fragment(2, at(0, 0), run(25)), fragment(2, at(1, 100), run(25))), 5 * sim.Second},
		{"a part of a longer recording", fragmented(nil, 0, fragment(2, at(0, 1000), run(25)), fragment(2, at(0, 1025), run(25))), 2 * sim.Second},
		{"samples that tell how long they last", fragmented(nil, 0, fragment(2, of(20, 30, 25))), 3 * sim.Second},
		{"many of them", fragmented(nil, 0, fragment(2, of(long...))), 240 * sim.Second},
		{"a length for those of a fragment", fragmented(nil, 0, join(atom("moof", atom("traf",
			full("tfhd", 0, 0x1|0x2|0x8, u32(2), u64(99), u32(1), u32(5)), run(10))))), 2 * sim.Second},
		{"other tracks do not count", fragmented(nil, 0, fragment(1, run(99)), fragment(2, run(25)), fragment(7, at(0, 5), run(99), of(9))), sim.Second},
		{"the last fragment is cut", fragmented(nil, 0, fragment(2, run(25)), fragment(2, run(25))[:40]), sim.Second},
		{"its data is cut", fragmented(nil, 0, fragment(2, run(25)), fragment(2, run(25))[:80]), 2 * sim.Second},
		{"no fragment yet", fragmented(nil, 0), 0},
	} {
		t.Run(test.rule, func(t *testing.T) {
			got, err := Read(bytes.NewReader(test.data), int64(len(test.data)))
			require.NoError(t, err)
			require.Equal(t, Header{test.want, ofDawn, true}, got)
		})
	}
}

// TestReadsHeadersOnly: no byte of the data is read.
func TestReadsHeadersOnly(t *testing.T) {
	moov := atom("moov", timed("mvhd", 0, created, 1000, 41_500), trackOf("vide", 2, 0, 30_000, 1_243_241))
	const hole = 1 << 40
	front := join(fileType, u32(1), []byte("mdat"), u64(16+hole))
	sparse := &sparseFile{front: front, back: moov, backAt: int64(len(front)) + hole}
	got, err := Read(sparse, sparse.backAt+int64(len(moov)))
	require.NoError(t, err)
	require.Equal(t, sim.Micros(41_441_366), got.Length)
	require.Less(t, sparse.bytes, 2000)
}

// sparseFile has a start and an end and only zeros in between.
type sparseFile struct {
	front, back []byte
	backAt      int64
	bytes       int
}

func (f *sparseFile) ReadAt(p []byte, at int64) (int, error) {
	f.bytes += len(p)
	if at >= f.backAt {
		return bytes.NewReader(f.back).ReadAt(p, at-f.backAt)
	}
	n, err := bytes.NewReader(f.front).ReadAt(p, at)
	if err == io.EOF && n > 0 {
		return len(p), nil // zeros follow
	}
	return n, err
}

func TestReadReturnsTheErrorOfTheReader(t *testing.T) {
	gone := errors.New("the card is gone")
	data := join(fileType, picture, atom("moov", timed("mvhd", 0, created, 1000, 41_500), trackOf("vide", 2, 0, 30_000, 1_243_241)))
	for cut := range len(data) - 100 { // the last fields are not needed
		_, err := Read(&brokenFile{data, int64(cut), gone}, int64(len(data)))
		require.ErrorIs(t, err, gone, "at %d", cut)
	}
}

// brokenFile cannot be read after an offset.
type brokenFile struct {
	data []byte
	good int64
	err  error
}

func (f *brokenFile) ReadAt(p []byte, at int64) (int, error) {
	if at+int64(len(p)) > f.good {
		return 0, f.err
	}
	return bytes.NewReader(f.data).ReadAt(p, at)
}

// TestReadGivesUp: a file of tiny boxes does not take for ever.
func TestReadGivesUp(t *testing.T) {
	_, err := Read(endless{}, math.MaxInt64)
	require.ErrorIs(t, err, errTooMany)
}

// endless is a file of empty boxes.
type endless struct{}

func (endless) ReadAt(p []byte, _ int64) (int, error) {
	return copy(p, join(atom("free"), atom("free"))), nil
}

// TestReadRandomMovies: whatever the shape, the length is that of the picture.
func TestReadRandomMovies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		version := byte(rapid.IntRange(0, 1).Draw(t, "version"))
		scale := rapid.Uint64Range(1, 1<<32-1).Draw(t, "scale")
		seconds := rapid.Uint64Range(1, 3600).Draw(t, "seconds")
		if version == 0 {
			seconds = min(seconds, (1<<32-2)/scale)
		}
		boxes := [][]byte{picture, atom("free", make([]byte, 9)), wide("uuid", make([]byte, 16)),
			atom("moov", timed("mvhd", version, created, scale, 1), trackOf("soun", 1, 0, 10, 99), trackOf("vide", 2, version, scale, scale*seconds))}
		data := join(append([][]byte{fileType}, rapid.Permutation(boxes).Draw(t, "boxes")...)...)
		got, err := Read(bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		if seconds > 0 {
			require.Equal(t, Header{sim.Micros(seconds) * sim.Second, ofDawn, true}, got)
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add(join(fileType, picture, atom("moov", timed("mvhd", 0, created, 1000, 41_500), trackOf("vide", 2, 0, 30_000, 1_243_241))))
	f.Add(join(wide("ftyp", u32(0)), u32(0), []byte("mdat"), []byte("the lake")))
	f.Add(fragmented(full("mehd", 1, 0, u64(0)), 7, fragment(2, full("tfdt", 1, 0, u64(1<<63)), full("trun", 0, 0x100, u32(1<<31), u32(1<<31)), full("trun", 0, 0, u32(1<<31)))))
	f.Fuzz(func(t *testing.T, data []byte) {
		h, err := Read(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			require.ErrorIs(t, err, ErrNoVideo)
			require.Zero(t, h)
			return
		}
		require.True(t, h.Length >= 0 && h.Length <= sim.MaxDuration)
		require.True(t, h.Closed || h == Header{})
		cut, err := Read(bytes.NewReader(data), int64(len(data))/2)
		require.True(t, err == nil || cut == Header{})
	})
}
