package export

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestCuePaths: a player looks for cues beside a video, under its name without the
// ending. A name that is not a file name, or already taken, is replaced by a number.
func TestCuePaths(t *testing.T) {
	one := []CueFile{{Clip: "LAKE0001.MP4"}, {Clip: ""}, {Clip: "DCIM\\lake0001.mov"}, {Clip: "../..\x00"}, {Clip: "a<b.mp4"}, {Clip: ".hidden"}}
	require.Equal(t, []string{"out/LAKE0001.vtt", "out/f-clip2.vtt", "out/f-clip3.vtt", "out/f-clip4.vtt", "out/a_b.vtt", "out/f-clip6.vtt"},
		CuePaths([][]CueFile{one}, "out/f.vtt"))
	require.Equal(t, []string{"f-1-clip1.vtt", "LAKE2.vtt", "f-2-clip2.vtt"}, CuePaths([][]CueFile{{{}}, {{Clip: "LAKE2"}, {}}}, "f.vtt"))
}
