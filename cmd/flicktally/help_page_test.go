package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestGuideNamesEveryCommand: the first page leads to each command once, and no
// part of it is longer than three lines.
func TestGuideNamesEveryCommand(t *testing.T) {
	var guided, there []string
	for _, part := range guide {
		require.LessOrEqual(t, len(part.lines), 3, part.when)
		for _, line := range part.lines {
			guided = append(guided, strings.Split(line.commands, ", ")...)
			require.LessOrEqual(t, len("  ")+20+1+len(line.text), helpWidth, line.text)
		}
	}
	for _, c := range commands {
		there = append(there, c.name)
	}
	require.ElementsMatch(t, there, guided)
}
