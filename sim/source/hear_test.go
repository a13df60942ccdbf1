package source

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/chanlog"
	"flicktally/sim/mavlink"
)

// hear hears a piece of a stream, without the survey.
func hear(piece string) Heard {
	h := Hear([]byte(piece), options())
	h.Survey = mavlink.Survey{}
	return h
}

// A piece may start and end within a row: only whole lines with a number and a delimiter
// count as rows.
func TestRowsAreHeard(t *testing.T) {
	for piece, rows := range map[string]int{
		"00,2000\n10000,1000\r\n20000;1000\n30000\t1000\n40000|1000\n50000 1000\n6000": 6,
		"ready\n17\nno number, here\n":            0,
		"1,2\x00\n3,4\n\xff\xfd5,6\n\x1b[1m7,8\n": 1,
		"": 0,
	} {
		require.Equal(t, Heard{Kind: CSV, Count: rows}, hear(piece), "%q", piece)
	}
}

// Frames are heard between other bytes. More rows than frames make it CSV.
func TestFramesAreHeard(t *testing.T) {
	require.Equal(t, Heard{Kind: MAVLink, Count: 2}, hear("noise\x01"+telemetry(t)))
	require.Equal(t, Heard{Kind: CSV, Count: 2}, hear("\n1,2\n3,4\n"+telemetry(t)), "as many rows as frames")
	heard := Hear([]byte(twoSystems(t)), options())
	require.Equal(t, MAVLink, heard.Kind)
	require.Equal(t, uint8(7), heard.Survey.Most(), "the one that sends the channel most")
	unnamed := options()
	unnamed.Spec.Channel = ""
	require.Equal(t, mavlink.Survey{Frames: heard.Count}, Hear([]byte(twoSystems(t)), unnamed).Survey, "no channel, no sender")
}

// A waveform, text in UTF-16 and compressed data can only be read from the first byte.
func TestWhatMustBeReadWhole(t *testing.T) {
	require.Equal(t, Heard{Kind: VCD, Count: 1, Whole: true}, hear(capture))
	require.Equal(t, Heard{Kind: CSV, Count: 1, Whole: true}, hear("\xff\xfe0\x00,\x00"))
	require.Equal(t, Heard{Kind: CSV, Count: 1, Whole: true}, hear("\xfe\xff\x000\x00,"))
	require.Equal(t, Heard{Kind: VCD, Count: 1, Whole: true}, hear(zip(t, capture)))
	require.Equal(t, Heard{Kind: MAVLink, Count: 2, Whole: true}, hear(zip(t, telemetry(t))))
	require.Equal(t, Heard{Kind: CSV, Whole: true}, hear(zip(t, table)[:12]), "too little to know")
	require.Equal(t, Heard{Kind: CSV, Whole: true}, hear("\x1f\x8bnot compressed"))
}

// A log that is said to be CSV is not taken for anything else, but a record is still
// recognised.
func TestACSVLogThatIsSaidToBeOne(t *testing.T) {
	opts := options()
	opts.Kind = CSV
	src, err := Open(strings.NewReader(table), "heron", opts)
	require.NoError(t, err)
	require.IsType(t, csvLog{}, src.reader)
	require.ErrorIs(t, drainSource(src), io.EOF)
	require.EqualValues(t, 4, src.Summary().(chanlog.Summary).Rows)
	require.Zero(t, src.Skipped())
	src.Close()

	src, err = Open(strings.NewReader(capture), "heron", opts)
	require.NoError(t, err)
	require.IsType(t, csvLog{}, src.reader, "not a waveform")

	var record bytes.Buffer
	w := NewRecorder(&record, sim.TapOutput, sim.Rig{}, 0)
	require.NoError(t, w.Write(sim.Block{Segment: 1, Samples: []sim.Sample{{Channel: 1000, Armed: sim.Absent}}}))
	src, err = Open(&record, "record", opts)
	require.NoError(t, err)
	require.Equal(t, sim.TapOutput, src.Tap())
}

// A comment is one line, whatever its text, and the record reads as without it.
func TestACommentInARecord(t *testing.T) {
	var record bytes.Buffer
	w := NewRecorder(&record, sim.TapChannel, sim.Rig{}, 0)
	block := sim.Block{Segment: 1, Samples: []sim.Sample{{Channel: 1000, Armed: sim.Absent}}}
	require.NoError(t, w.Write(block))
	require.NoError(t, w.Comment("the clock\njumped"))
	block.Samples[0].At = 20 * sim.Millisecond
	require.NoError(t, w.Write(block))
	lines := strings.Split(record.String(), "\n")
	require.True(t, strings.HasPrefix(lines[3], "# the clock") && strings.HasSuffix(lines[3], "jumped"), lines[3])
	src, err := Open(&record, "record", options())
	require.NoError(t, err)
	require.ErrorIs(t, drainSource(src), io.EOF)
	require.EqualValues(t, 2, src.Summary().(chanlog.Summary).Rows)

	full := NewRecorder(failing{}, sim.TapChannel, sim.Rig{}, 0)
	require.EqualError(t, full.Comment("x"), "disk full")
	require.EqualError(t, NewRecorder(failing{}, sim.TapChannel, sim.Rig{}, 0).Write(block), "disk full")
}

// failing is a stream to a disk that is full.
type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("disk full") }

// The reading says how long without a value counts as lost, if the log decides that.
func TestTheReadingNamesTheLossOfSignal(t *testing.T) {
	src, err := Open(strings.NewReader(twoSystems(t)), "heron", options())
	require.NoError(t, err)
	src.Rig(sim.DefaultRig())
	require.ErrorIs(t, drainSource(src), io.EOF)
	r := src.Reading()
	require.Contains(t, r.Facts, "the signal counts as lost after 1200 ms, three of its median steps of 400 ms (the rig says 500 ms)")
	require.Regexp(t, `^MAVLink from system 7 \(28 frames with a value\); not read: system 9 \(3 frames\); --system chooses$`, r.Sender)
	require.Zero(t, src.Skipped())
	src.Close()
}

// What the user should look at in a waveform: changes that are too close, and a capture
// that breaks off.
func TestTheReadingOfAWaveform(t *testing.T) {
	opts := options()
	opts.Wire = "SHUTTER"
	read := func(log string) sim.Reading {
		src, err := Open(strings.NewReader(log), "capture.vcd", opts)
		require.NoError(t, err)
		require.ErrorIs(t, drainSource(src), io.EOF)
		return src.Reading()
	}
	whole := read(capture)
	require.True(t, whole.OnChange)
	require.Len(t, whole.Facts, 1)
	require.Contains(t, whole.Facts[0], "waveform of the wire SHUTTER, ")
	require.Empty(t, whole.Odd)
	nanos := strings.Replace(capture, "1 us", "1 ns", 1)
	require.Equal(t, []string{"2 changes within one microsecond of another"}, read(strings.Replace(nanos, "#400000 0!", "#100100 0! #400000 1! #400999", 1)).Odd)
	require.Equal(t, []string{"the capture ends within a word, which was left out"}, read(strings.TrimSuffix(capture, "\n")+" #3000").Odd)
}

// What the user should look at in telemetry.
func TestTheReadingOfTelemetry(t *testing.T) {
	src, err := Open(strings.NewReader("noise"+telemetry(t)), "heron", options())
	require.NoError(t, err)
	require.ErrorIs(t, drainSource(src), io.EOF)
	r := src.Reading()
	require.Equal(t, "MAVLink from system 1 (1 frame with a value)", r.Sender)
	require.Contains(t, r.Facts[0], "times by the vehicle's clock")
	require.Equal(t, []string{"5 damaged bytes skipped", "1 frame missing by its number"}, r.Odd, "the second frame is number 2")
}

// A compressed log whose header is damaged names itself.
func TestADamagedCompressedLog(t *testing.T) {
	opts := options()
	opts.Again = func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader("\x1f\x8bX")), nil }
	_, err := Open(strings.NewReader(zip(t, twoSystems(t))), "heron.tlog.gz", opts)
	require.ErrorContains(t, err, "heron.tlog.gz: ")
}
