package livelines

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A speech program that never reads does not delay the flight: each sentence is passed
// on or counted, and at the end the program is killed.
func TestASpeechProgramThatNeverReadsDelaysNothing(t *testing.T) {
	t.Parallel()
	p, err := Aloud{Say: "exec sleep 1000", Screen: true}.startSpeaker()
	require.NoError(t, err)
	const many = 10_000 // more than a pipe and the queue hold
	for range many {
		p.say("flick 1: held 300 ms, toggled, said at some length")
	}
	var notes strings.Builder
	p.finish(func(format string, args ...any) { fmt.Fprintf(&notes, format+"\n", args...) }, 0)
	require.Positive(t, p.left)
	require.Contains(t, notes.String(), "did not read in time")
	require.Contains(t, notes.String(), "the program of --say ended with: signal: killed")
}

// A speech program gets each event as a line, without its time, and all of them before
// it ends.
func TestASpeechProgramReadsTheFlight(t *testing.T) {
	path := filepath.Join(t.TempDir(), "said")
	var said notes
	finish, err := Aloud{Say: "cat > '" + path + "'", Whole: true, Note: said.note}.Start(landed(regatta))
	require.NoError(t, err)
	finish()
	require.Empty(t, said.String())
	spoken, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, `flick 1: held 300 ms, toggled
take 1 begins
flick 2: held 50 ms, it never reached the camera
flick 3: held 100 ms, short
flick 4: held 300 ms, toggled
take 1 ends after 6 s
`, string(spoken))
}

// A speech program that fails is noted, and what it writes goes to the error output.
func TestASpeechProgramThatFails(t *testing.T) {
	var errors strings.Builder
	var said notes
	finish, err := Aloud{Say: "cat > /dev/null; echo no voice >&2; exit 3", Err: &errors, Note: said.note}.Start(landed(regatta))
	require.NoError(t, err)
	finish()
	require.Equal(t, "no voice\n", errors.String())
	require.Equal(t, "the program of --say ended with: exit status 3\n", said.String())
}
