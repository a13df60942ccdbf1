package bmff

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// TestIndependentWriter reads files that a general-purpose video program, Debian's
// ffmpeg, wrote, and compares the result with that of its own reader. It is skipped
// if that is not installed.
func TestIndependentWriter(t *testing.T) {
	for _, program := range []string{"ffmpeg", "ffprobe"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skip("no ", program, " here: ", err)
		}
	}
	picture := testPicture(t)
	for _, test := range []struct {
		rule, name string
		args       []string
	}{
		{"moov at the end", "end.mp4", nil},
		{"moov in front", "front.mp4", []string{"-movflags", "+faststart"}},
		{"the older form", "lake.mov", nil},
		{"a scale of its own", "scale.mp4", []string{"-video_track_timescale", "90000"}},
		{"fragments", "fragments.mp4", []string{"-movflags", "+frag_keyframe+empty_moov"}},
		{"fragments with the first samples in the header", "first.mp4", []string{"-movflags", "+frag_keyframe"}},
		{"fragments that begin where the data is", "base.mp4", []string{"-movflags", "+frag_keyframe+empty_moov+default_base_moof+omit_tfhd_offset"}},
		{"fragments with an index", "index.mp4", []string{"-movflags", "+dash+global_sidx"}},
	} {
		t.Run(test.rule, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), test.name)
			run(t, "ffmpeg", append(append([]string{"-v", "error", "-i", picture, "-c", "copy", "-metadata", creation}, test.args...), path)...)
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			got, err := Read(bytes.NewReader(data), int64(len(data)))
			require.NoError(t, err)
			require.InDelta(t, float64(lengthOf(t, path)), float64(got.Length), 1)
			require.Equal(t, ofDawn, got.Created)
			require.True(t, got.Closed)
		})
	}
	t.Run("never closed", func(t *testing.T) {
		data, err := os.ReadFile(picture)
		require.NoError(t, err)
		data = data[:bytes.LastIndex(data, []byte("moov"))-4]
		got, err := Read(bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		require.Equal(t, Header{}, got)
	})
	t.Run("sound alone is none", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "lake.m4a")
		run(t, "ffmpeg", "-v", "error", "-f", "lavfi", "-i", "sine=duration=1", path)
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		_, err = Read(bytes.NewReader(data), int64(len(data)))
		require.ErrorIs(t, err, ErrNoVideo)
	})
}

// creation is the time at which all videos were made, which a copy does not keep.
const creation = "creation_time=2026-06-14T14:03:22Z"

// testPicture writes a video of 5.28 s, with sound that is longer, and a picture
// that stands alone every 10 frames.
func testPicture(t *testing.T) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "picture.mp4")
	run(t, "ffmpeg", "-v", "error", "-f", "lavfi", "-i", "testsrc=duration=5.28:size=64x64:rate=25", "-f", "lavfi", "-i", "sine=duration=6",
		"-c:v", "mpeg4", "-g", "10", "-metadata", creation, path)
	return path
}

// lengthOf returns when the last picture ends, by the program's reader.
func lengthOf(t *testing.T, path string) sim.Micros {
	out := run(t, "ffprobe", "-v", "error", "-select_streams", "v:0", "-show_entries", "packet=pts_time,duration_time", "-of", "csv=p=0", path)
	lines := strings.Fields(string(out))
	require.Len(t, lines, 132, "25 pictures a second")
	at, lasts, _ := strings.Cut(lines[len(lines)-1], ",")
	seconds := func(text string) float64 {
		v, err := strconv.ParseFloat(strings.Trim(text, ","), 64)
		require.NoError(t, err)
		return v
	}
	length := seconds(at) + seconds(lasts)
	require.InDelta(t, 5.28, length, 0.03, "in fragments it waits for the sound with the first picture")
	return sim.Micros(math.Round(length * 1e6))
}

func run(t *testing.T, program string, args ...string) []byte {
	out, err := exec.Command(program, args...).Output()
	require.NoError(t, err, "%s %v: %s", program, args, out)
	return out
}
