//go:build unix

package practice

import (
	"fmt"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/history"
	"flicktally/trainer/term"
	"flicktally/trainer/term/termtest"
)

// folderVariable names the folder of the journal. If it is set, the test binary runs
// practice instead of tests.
const folderVariable = "PRACTICE_TEST_FOLDER"

func TestMain(m *testing.M) {
	folder := os.Getenv(folderVariable)
	if folder == "" {
		goleak.VerifyTestMain(m)
	}
	fmt.Printf("ended: %v\n", term.Run(brittle{practiseFlicks(folder)}))
}

// practiseFlicks runs practice with a journal on disk.
func practiseFlicks(folder string) *Screen {
	journal, err := history.Open(folder)
	if err != nil {
		panic(err)
	}
	p, err := New(Options{
		Setup:    trainer.Setup{Kind: trainer.KindFlick, Rig: sim.DefaultRig(), Resolution: 9 * ms},
		Notebook: history.NewNotebook(journal, sim.DefaultRig(), "keyboard", "test", time.Now),
	})
	if err != nil {
		panic(err)
	}
	return p
}

// brittle is practice that panics on a key.
type brittle struct{ *Screen }

func (b brittle) Handle(e term.Event) bool {
	if key, isKey := e.(term.KeyEvent); isKey && key.Name == "x" {
		panic("the drill broke")
	}
	return b.Screen.Handle(e)
}

func TestAPanicInADrillGivesTheTerminalBackAndKeepsThePractice(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	c := termtest.Start(t, exec.Command(os.Args[0]), folderVariable+"="+folder)
	c.WaitFor("standby", 1)
	c.Type(" ")
	c.WaitFor("switch: pressed", 1)
	c.Type(" ")
	var h *history.History
	require.Eventually(t, func() bool {
		var err error
		h, err = history.At(folder).Read()
		require.NoError(t, err)
		return len(h.Drills) == 1 && len(h.Drills[0].Flicks) == 1
	}, termtest.Patience, 5*time.Millisecond)
	c.Type("x")
	require.Equal(t, 2, c.WaitForEnd())
	c.WaitFor("panic: the drill broke", 1)
	c.RequireRestored()
	require.Empty(t, h.Damage)
}
