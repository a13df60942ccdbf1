package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/trainer/term/termtest"
)

// Logs that nobody flew, in the viewer on a real terminal of any size: it shows
// them, goes on, ends when it is asked, and gives the terminal back.
func TestTheViewerOpensAnyLog(t *testing.T) {
	t.Parallel()
	backwards := "time_us,aux2\n"
	for n := range 999 {
		backwards += fmt.Sprintf("%d,2000\n%d,1000\n", 1_000_000_000-n*1_000_000, 1_000_000_000-n*1_000_000+300_000)
	}
	for name, log := range map[string]string{
		"one sample":          "time_us,aux2\n0,1000\n",
		"two at one time":     "time_us,aux2\n0,1000\n0,2000\n",
		"no take":             "time_us,aux2\n0,1000\n60000000,1000\n",
		"pressed throughout":  "time_us,aux2\n0,2000\n60000000,2000\n",
		"no signal":           "time_us,aux2\n0,\n20000,nan\n40000,99999\n",
		"999 hours":           "time_s,aux2\n0,1000\n1800000,2000\n1800001,1000\n3596400,1000\n",
		"time runs backwards": backwards,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			folder := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(folder, "flight.csv"), []byte(log), 0o600))
			command := asFlicktally("view", "flight.csv")
			command.Dir = folder
			c := termtest.Start(t, command)
			c.WaitFor("? help", 1)
			for _, size := range [][2]uint16{{1, 1}, {40, 12}, {39, 12}, {300, 3}, {3, 90}, {120, 40}} {
				c.Resize(size[0], size[1])
				c.Type("eEpPtTfF1]e2b+++enter\r[as-ic" + strings.Repeat("]", 50))
			}
			c.Resize(80, 24)
			c.Type("q")
			require.Zero(t, c.WaitForEnd(), c.Seen())
			c.RequireRestored()
		})
	}
}
