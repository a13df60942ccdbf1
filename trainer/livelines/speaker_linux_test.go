package livelines

import (
	"fmt"
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
