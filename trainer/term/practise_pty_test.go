//go:build unix

package term

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/history"
	"flicktally/trainer/term/termtest"
)

// folderVariable names the folder of the journal of a program of TestMain.
const folderVariable = "TERM_TEST_FOLDER"

// practiseFlicks is practice with a journal on disk.
func practiseFlicks(folder string) *Practise {
	journal, err := history.Open(folder)
	if err != nil {
		panic(err)
	}
	p, err := NewPractise(PractiseOptions{
		Setup:    trainer.Setup{Kind: trainer.KindFlick, Rig: sim.DefaultRig(), Resolution: 9 * ms},
		Notebook: history.NewNotebook(journal, sim.DefaultRig(), "keyboard", "test", time.Now),
	})
	if err != nil {
		panic(err)
	}
	return p
}

// brittle is practice that panics on a key.
type brittle struct{ *Practise }

func (b brittle) Handle(e Event) bool {
	if key, isKey := e.(KeyEvent); isKey && key.Name == "x" {
		panic("the drill broke")
	}
	return b.Practise.Handle(e)
}

func TestAPanicInADrillGivesTheTerminalBackAndKeepsThePractice(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	c := program(t, "panic in a drill", folderVariable+"="+folder)
	c.WaitFor("standby", 1)
	c.Type(" ")
	time.Sleep(150 * time.Millisecond)
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
