package main

import (
	"bufio"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// A pipe that gives nothing says what is waited for, and ctrl-c leaves.
func TestAPipeThatGivesNothingSaysWhatIsWaitedFor(t *testing.T) {
	for _, tt := range []struct {
		name, args, says string
		open             bool
	}{
		{"a log, nobody has it open", "replay pipe", "for somebody to write into", false},
		{"a log, nobody writes", "replay pipe", "for something to come from", true},
		{"a rig", "rig check pipe", "for somebody to write into", false},
		{"a rig, nobody writes", "rig check pipe", "for something to come from", true},
		{"trials", "calibrate pipe", "for somebody to write into", false},
		{"a pattern", "practise --pattern pipe", "for something to come from", true},
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
