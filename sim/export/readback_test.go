package export

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim/flight"
)

// TestIndependentReaders has the takes of a flight read back by programs that have
// nothing to do with this one. Each part runs where its program is installed.
func TestIndependentReaders(t *testing.T) {
	flights := []flight.Flight{withCard(), regatta(nil)}
	want := "1 2550000 8300000 LAKE0001.MP4\n2 11880000 13990000 LAKE0003.MP4\n1 2550000 8300000 \n2 11880000 13990000 \n"
	save := func(name string, write func(io.Writer) error) string {
		path := filepath.Join(t.TempDir(), name)
		require.NoError(t, os.WriteFile(path, []byte(written(t, write)), 0o600))
		return path
	}
	t.Run("CSV by Python", func(t *testing.T) {
		path := save("takes.csv", func(w io.Writer) error { return Takes(w, flights, CSV) })
		require.Equal(t, want, program(t, "python3", "-c", `
import csv, sys
for row in csv.DictReader(open(sys.argv[1], newline="")):
    print(row["take"], row["start_us"], row["end_us"], row["clip_name"])`, path))
	})
	t.Run("JSON lines by Python", func(t *testing.T) {
		path := save("takes.jsonl", func(w io.Writer) error { return Takes(w, flights, JSONLines) })
		require.Equal(t, want, program(t, "python3", "-c", `
import json, sys
for line in open(sys.argv[1]):
    row = json.loads(line)
    print(row["take"], row["start_us"], row["end_us"], row.get("clip_name", ""))`, path))
	})
	t.Run("WebVTT by ffprobe", func(t *testing.T) {
		path := save("takes.vtt", func(w io.Writer) error { return Cues(w, flights[:1]) })
		told := program(t, "ffprobe", "-v", "error", "-show_entries", "packet=pts_time,duration_time", "-of", "csv=p=0", path)
		require.Equal(t, []string{"2.550000,5.750000,", "11.880000,2.110000,"}, strings.Fields(told))
	})
	t.Run("WebVTT chapters by ffmpeg", func(t *testing.T) {
		path := save("chapters.vtt", func(w io.Writer) error { return Chapters(w, flights[:1]) })
		text := program(t, "ffmpeg", "-v", "error", "-i", path, "-f", "srt", "-")
		require.Contains(t, text, "00:00:02,550 --> 00:00:08,300\ntake 1, LAKE0001.MP4\n")
		require.Equal(t, 4, strings.Count(text, "-->"))
	})
	t.Run("waveform by sigrok", func(t *testing.T) {
		path := save("flight.vcd", func(w io.Writer) error { return Waveform(w, &flights[0]) })
		text := program(t, "sigrok-cli", "-i", path, "-P", "timing:data="+wireRecorded, "-A", "timing=time", "--protocol-decoder-samplenum")
		require.Contains(t, text, fmt.Sprintf("%d-%d", 2_550_000, 8_300_000))
	})
}

// program runs a program, or skips where it is not installed.
func program(t *testing.T, name string, args ...string) string {
	if _, err := exec.LookPath(name); err != nil {
		t.Skip("no ", name, " here: ", err)
	}
	out, err := exec.Command(name, args...).Output()
	require.NoError(t, err)
	return string(out)
}
