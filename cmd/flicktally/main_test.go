package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestCalled: a command is made alone under the name that it gives itself, and
// all are made where one is not enough.
func TestCalled(t *testing.T) {
	a := &app{}
	for _, c := range commands {
		alone := called(a, []string{c.name})
		if c.name == "man" {
			require.Len(t, alone, len(commands), "the manual page tells of all")
			continue
		}
		require.Len(t, alone, 1)
		require.Equal(t, c.name, alone[0].Name())
	}
	for _, args := range [][]string{nil, {"help"}, {"help", "replay"}, {"--help"}, {"__complete", "re"}, {"repaly"}} {
		require.Len(t, called(a, args), len(commands), "%q", args)
	}
}
