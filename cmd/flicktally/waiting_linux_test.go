package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"os"
	"os/signal"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"flicktally/trainer/term/termtest"
)

// A pipe that gives nothing says what is waited for, and ctrl-c leaves.
func TestAPipeThatGivesNothingSaysWhatIsWaitedFor(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name, args, says string
		open             bool
	}{
		{"a log, nobody has it open", "replay pipe", "for another program to write to", false},
		{"a log, nobody writes", "replay pipe", "for data from", true},
		{"a rig", "rig check pipe", "for another program to write to", false},
		{"a rig, nobody writes", "rig check pipe", "for data from", true},
		{"trials", "calibrate pipe", "for another program to write to", false},
		{"a pattern", "practise --pattern pipe", "for data from", true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if signal.Ignored(os.Interrupt) {
				t.Skip("interrupts are ignored here, as under nohup, and so they are in what is started")
			}
			folder := t.TempDir()
			path := filepath.Join(folder, "pipe")
			require.NoError(t, unix.Mkfifo(path, 0o600))
			command := asFlicktally(strings.Fields(tt.args)...)
			command.Dir = folder
			errs, err := command.StderrPipe()
			require.NoError(t, err)
			if tt.open {
				writer, err := os.OpenFile(path, os.O_RDWR, 0) // which waits for no reader (fifo(7))
				require.NoError(t, err)
				defer writer.Close()
			}
			require.NoError(t, command.Start())
			defer command.Process.Kill()
			line, err := bufio.NewReader(errs).ReadString('\n')
			require.NoError(t, err)
			require.Equal(t, "waiting "+tt.says+" pipe; ctrl-c leaves\n", line)
			require.NoError(t, command.Process.Signal(os.Interrupt))
			require.Error(t, command.Wait())
		})
	}
}

// While a compressed log with very many blank lines is read, a line on the terminal
// shows the progress.
func TestALogThatUnpacksToBlankLinesShowsProgress(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	path := filepath.Join(folder, "bomb.csv")
	require.NoError(t, unix.Mkfifo(path, 0o600))
	command := asFlicktally("replay", path)
	console := termtest.Start(t, command)
	pipe, err := os.OpenFile(path, os.O_WRONLY, 0)
	require.NoError(t, err)
	bomb := gzip.NewWriter(pipe)
	write := func(text []byte) {
		_, err := bomb.Write(text)
		require.NoError(t, err)
		require.NoError(t, bomb.Flush())
	}
	write([]byte("time_us,aux2\n0,1000\n"))
	shown := regexp.MustCompile(`reading .*bomb\.csv: [1-9][0-9]* MB`)
	for end := time.Now().Add(termtest.Patience); !shown.MatchString(console.Seen()); time.Sleep(50 * time.Millisecond) {
		require.True(t, time.Now().Before(end), console.Seen())
		write(bytes.Repeat([]byte("\n"), 1<<20))
	}
	write([]byte("1000000,1000\n"))
	require.NoError(t, bomb.Close())
	require.NoError(t, pipe.Close())
	require.Zero(t, console.WaitForEnd(), console.Seen())
	require.Contains(t, console.Seen(), "no flicks; nothing recorded in 1 s")
}
