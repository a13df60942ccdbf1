package main

import (
	"bufio"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// A pipe that gives nothing says what is waited for, and ctrl-c leaves.
func TestAPipeThatGivesNothingSaysWhatIsWaitedFor(t *testing.T) {
	for _, tt := range []struct {
		name, says string
		open       bool
	}{
		{"nobody has it open", "waiting for somebody to write into log.csv; ctrl-c leaves\n", false},
		{"nobody writes", "waiting for something to come from log.csv; ctrl-c leaves\n", true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			folder := t.TempDir()
			path := filepath.Join(folder, "log.csv")
			require.NoError(t, unix.Mkfifo(path, 0o600))
			command := asFlicktally("replay", "log.csv")
			command.Dir = folder
			errs, err := command.StderrPipe()
			require.NoError(t, err)
			require.NoError(t, command.Start())
			defer command.Process.Kill()
			if tt.open {
				writer, err := os.OpenFile(path, os.O_WRONLY, 0)
				require.NoError(t, err)
				defer writer.Close()
			}
			line, err := bufio.NewReader(errs).ReadString('\n')
			require.NoError(t, err)
			require.Equal(t, tt.says, line)
			require.NoError(t, command.Process.Signal(os.Interrupt))
			require.Error(t, command.Wait())
		})
	}
}
