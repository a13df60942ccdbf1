// The race detector takes several times the memory that is measured here.

//go:build !race

package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// logOf returns a log with a number of rows.
func logOf(rows int, row func(i int) string) string {
	var log strings.Builder
	log.WriteString("time_us,aux2\n")
	for i := range rows {
		log.WriteString(row(i))
	}
	return log.String()
}

// runMeasured runs the program in a folder. It returns the exit code, what was
// written to standard error, and the most memory that was used, in KiB.
func runMeasured(folder string, args ...string) (code int, errs string, peak int64) {
	state, _, errs := ran(folder, args...)
	return state.ExitCode(), errs, state.SysUsage().(*syscall.Rusage).Maxrss
}

// Logs that are made to use up memory: the program's memory is bounded, and a short
// message says what is wrong with them.
func TestNoLogUsesUpTheMemory(t *testing.T) {
	const mib = 1 << 20
	for _, test := range []struct {
		name string
		log  string
		then string // what follows, 200 times
		code int
		says string
	}{
		{"one line of 200 MiB", "a", strings.Repeat("a", mib), exitUnreadable, "found a line of more than 1 MiB"},
		{"one line of 200 MiB after a row", "time_us,aux2\n0,1000\n", strings.Repeat("a", mib), exitUnreadable, "found a line of more than 1 MiB"},
		{"200 MiB of blank lines", "", strings.Repeat("\n", mib), exitUnreadable, ": found 1 MiB without a header"},
		{"200 MiB of zeros", "", strings.Repeat("\x00", mib), exitUnreadable, "found "},
		{"a million columns", "time_us," + strings.Repeat("c,", mib) + "\n0,1000\n", "", exitUnreadable, "found a line of more than 1 MiB"},
		{"as many columns as a line holds", "time_us" + strings.Repeat(",", mib-20) + "\n0,1000\n", "", exitUnreadable, "found "},
		{"a segment in every row", logOf(100_000, func(i int) string { return fmt.Sprintf("%d,1000\n", (100_000-i)*2_000_000) }), "",
			exitUnreadable, ": found more than 1000 segments"},
		{"a press in every other row", logOf(200_000, func(i int) string { return fmt.Sprintf("%d,%d\n", i*100_000, 1000+i%2*1000) }), "",
			exitUnreadable, ": found more than 50000 presses"},
		{"a waveform with a word of 200 MiB", "$timescale 1 us $end\n", strings.Repeat("1", mib), exitUnreadable, "found a word of more than 1 MiB"},
		{"a waveform with 200 MiB of names", "$timescale 1 us $end\n", strings.Repeat("$var wire 1 ! "+strings.Repeat("n", 1000)+" $end\n", mib/1020), exitUnreadable,
			"found names of more than 16 MiB"},
		{"a waveform with names of one letter", "$timescale 1 us $end\n", strings.Repeat("$var wire 1 ! a $end\n", mib/21), exitUnreadable,
			"found names of more than 16 MiB"},
		{"a waveform with a comment of 200 MiB", "$timescale 1 us $end\n$comment", strings.Repeat(" a", mib/2), exitUnreadable, "found the end of the file within the declarations"},
		{"telemetry without a message", "", strings.Repeat("\xfd", mib), exitUnreadable, ": found no message with chan6 in "},
		{"200 MiB of blank lines after a row", "time_us,aux2\n0,1000\n", strings.Repeat(strings.Repeat(" ", 1023)+"\n", 1024), exitDone, ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			defer compute()()
			folder := t.TempDir()
			bomb := append(gzipped(t, test.log), bytes.Repeat(gzipped(t, test.then), 200)...)
			require.NoError(t, os.WriteFile(filepath.Join(folder, "bomb.csv"), bomb, 0o600))
			code, errs, peak := runMeasured(folder, "replay", "--channel", "aux2", "bomb.csv")
			require.Equal(t, test.code, code, errs)
			require.Contains(t, errs, test.says)
			require.Less(t, len(errs), 4096)
			require.Less(t, peak, int64(180<<10), "KiB")
		})
	}
}

// A log with as many segments, and one with as many presses, as package flight
// accepts: every view takes at most the documented 512 MiB.
func TestNothingThatIsShownUsesUpTheMemory(t *testing.T) {
	const mostSegments, mostPresses = 1000, 50_000
	folder := t.TempDir()
	for name, log := range map[string]string{
		"segments.csv": logOf(2*mostSegments-2, func(i int) string {
			return fmt.Sprintf("%d,%d\n", (mostSegments-i/2)*1_000_000+i%2*300_000, 2000-i%2*1000)
		}),
		"presses.csv": logOf(2*mostPresses-2, func(i int) string { return fmt.Sprintf("%d,%d\n", i*300_000, 1000+i%2*1000) }),
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(log), 0o600))
		for _, args := range []string{
			"view --print LOG", "report LOG -o LOG.html", "chart LOG -o LOG.svg", "replay --json LOG", "compare --with camera.boot=5s LOG",
		} {
			t.Run(strings.ReplaceAll(args, "LOG", name), func(t *testing.T) {
				t.Parallel()
				defer compute()()
				code, errs, peak := runMeasured(folder, strings.Fields(strings.ReplaceAll(args, "LOG", name))...)
				require.Zero(t, code, errs)
				require.Less(t, peak, int64(512<<10), "KiB")
			})
		}
	}
}

// Files that are normally short are read up to a limit only.
func TestNoShortFileUsesUpTheMemory(t *testing.T) {
	folder := workplace(t)
	for _, args := range []string{
		"calibrate /dev/zero", "calibrate --bench /dev/zero", "replay --clips /dev/zero flight.csv", "practise --pattern /dev/zero",
		"rig show /dev/zero", "calibrate trials.csv --update /dev/zero", "replay /dev/zero",
	} {
		code, errs, peak := runMeasured(folder, strings.Fields(args)...)
		require.Contains(t, []int{exitUsage, exitUnreadable}, code, args)
		require.Contains(t, errs, "/dev/zero", args)
		require.Less(t, peak, int64(180<<10), "KiB: "+args)
	}
}

// A live flight goes on whatever bytes arrive, and keeps none of them in memory.
func TestALiveStreamOfNothingTakesNoMemory(t *testing.T) {
	command := asFlicktally("live", "--plain", "/dev/zero")
	command.Dir = workplace(t)
	require.NoError(t, command.Start())
	time.Sleep(2 * time.Second) // a device is driven
	require.NoError(t, command.Process.Signal(syscall.SIGINT))
	_ = command.Wait() // how it ends does not matter here
	peak := command.ProcessState.SysUsage().(*syscall.Rusage).Maxrss
	require.Less(t, peak, int64(180<<10), "KiB")
}

// gzipped returns a member of a gzip stream; members may follow each other (RFC
// 1952 §2.2).
func gzipped(t *testing.T, text string) []byte {
	var zipped bytes.Buffer
	writer := gzip.NewWriter(&zipped)
	_, err := writer.Write([]byte(text))
	require.NoError(t, err)
	require.NoError(t, writer.Close())
	return zipped.Bytes()
}

// An export is written while the log is read: a long log takes no more memory than
// a short one. (The memory that the system reports of a child starts at that of its
// parent, so only the difference is checked.)
func TestNoExportHoldsItsLog(t *testing.T) {
	folder := t.TempDir()
	rows := gzipped(t, strings.Repeat("123456789,1000\n", 70_000))
	peak := func(times int) int64 {
		log := append(gzipped(t, "time_us,aux2\n"), bytes.Repeat(rows, times)...)
		require.NoError(t, os.WriteFile(filepath.Join(folder, "log.csv"), log, 0o600))
		debug.FreeOSMemory()
		code, errs, peak := runMeasured(folder, "export", "--kind", "log", "log.csv", "-o", "cut.csv", "--force")
		require.Zero(t, code, errs)
		return peak
	}
	short, long := peak(1), peak(100)
	require.Less(t, long, short+(24<<10), "KiB")
	info, err := os.Stat(filepath.Join(folder, "cut.csv"))
	require.NoError(t, err)
	require.Greater(t, info.Size(), int64(40<<20))
}
