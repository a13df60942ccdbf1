package main

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

// TestReplayOfTheDemoFitsAScreen: the report of the demo's flight takes no more
// than 44 lines of a window 100 characters wide.
func TestReplayOfTheDemoFitsAScreen(t *testing.T) {
	out, said, code := runShell(t, readmeFiles(t), "flicktally replay --rig heron.toml regatta.csv", time.Minute)
	require.Zero(t, code, said)
	lines := 0
	for line := range strings.Lines(out) {
		lines += 1 + (utf8.RuneCountInString(line)-2)/100
	}
	require.LessOrEqual(t, lines, 44, out)
}
