package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/trainer/term/termtest"
)

// Every beginning of a formula, in the names of a log and of a rig.
func TestNoNameBecomesAFormula(t *testing.T) {
	for _, first := range []string{"=", "+", "-", "@"} {
		folder := t.TempDir()
		name := first + "1+1"
		require.NoError(t, os.WriteFile(filepath.Join(folder, name+".csv"), []byte(flickLog(200)), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(folder, "rig.toml"), []byte("name = '"+name+"'\n"), 0o600))
		code, _, errs := runIn(folder, "export", "--kind", "presses", "-o", "presses.csv", "--", name+".csv")
		require.Zero(t, code, errs)
		table, err := os.ReadFile(filepath.Join(folder, "presses.csv"))
		require.NoError(t, err)
		require.Contains(t, string(table), "'"+name)
		requireNoFormula(t, string(table))
	}
}

// A file is written where its name says and nowhere else: no name in a log or a
// rig says where.
func TestNoNameLeadsElsewhere(t *testing.T) {
	above := t.TempDir()
	folder := filepath.Join(above, "here")
	require.NoError(t, os.Mkdir(folder, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "flight.csv"), []byte(flickLog(200)), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "rig.toml"), []byte("name = '../../owned'\n"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "clips.csv"), []byte("name,duration\n../../owned,2\n"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "pattern.txt"), []byte("name ../../owned\npress 300ms\n"), 0o600))
	for _, args := range []string{
		"export --clip all flight.csv -o clip.vtt", "export flight.csv -o takes.csv", "export --what log flight.csv -o log.csv",
		"report --clips clips.csv flight.csv -o page.html", "chart flight.csv -o chart.svg", "bench -o card.html",
	} {
		code, _, errs := runIn(folder, strings.Fields(args)...)
		require.Zero(t, code, args+errs)
	}
	c := termtest.Start(t, func() *exec.Cmd {
		command := asFlicktally("view", "../here/flight.csv")
		command.Dir = folder
		return command
	}())
	c.WaitFor("? help", 1)
	c.Type("w")
	c.WaitFor("saved this view as flight_", 1)
	c.Type("q")
	require.Zero(t, c.WaitForEnd())
	require.Equal(t, []string{"here"}, namesIn(t, above))
	require.Equal(t, []string{"card.html", "chart.svg", "clip-clip1.vtt", "clips.csv", "flight.csv",
		"flight_0m00.000-0m03.980.svg", "log.csv", "page.html", "pattern.txt", "rig.toml", "takes.csv"}, namesIn(t, folder))
}
