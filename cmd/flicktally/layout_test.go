package main

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// mayImport is the layout of the project: which of its packages a package may
// import. Data goes one way, from source to chain to results to view; views
// meet only in the command.
var mayImport = map[string][]string{
	"sim":             {},
	"sim/rigfile":     {"sim"},
	"sim/chanlog":     {"sim"},
	"sim/stat":        {},
	"trainer":         {"sim", "sim/stat"},
	"trainer/history": {"sim", "sim/chanlog", "trainer"},
	"cmd/flicktally":  nil, // everything
}

// TestLayout holds every package to mayImport. Which files a package may open
// is not seen here.
func TestLayout(t *testing.T) {
	list := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "flicktally/...")
	list.Dir = "../.."
	out, err := list.Output()
	require.NoError(t, err)
	for line := range strings.Lines(string(out)) {
		fields := strings.Fields(line)
		name := strings.TrimPrefix(fields[0], "flicktally/")
		allowed, known := mayImport[name]
		require.True(t, known, "%s is not in the layout: say in mayImport what it may import", name)
		if allowed == nil {
			continue
		}
		for _, imported := range fields[1:] {
			if own, ok := strings.CutPrefix(imported, "flicktally/"); ok {
				require.Contains(t, allowed, own, "%s must not import %s", name, own)
			}
		}
	}
}
