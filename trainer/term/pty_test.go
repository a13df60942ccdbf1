//go:build unix

package term

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"flicktally/sim"
	"flicktally/trainer/term/termtest"
)

// The terminal is restored: tested on a pseudo terminal, with this test binary as the
// program.

// programVariable names the program that the test binary runs instead of tests.
const programVariable = "TERM_TEST_PROGRAM"

func TestMain(m *testing.M) {
	name := os.Getenv(programVariable)
	if name == "" {
		goleak.VerifyTestMain(m)
	}
	var err error
	switch name {
	case "screen":
		err = Run(&screenful{})
	case "panic":
		err = Run(&fragile{})
	case "panic in a source":
		err = Run(&fragile{}, func(_ context.Context, post func(any)) {
			post("ready")
			panic("the source broke")
		})
	}
	fmt.Printf("ended: %v\n", err)
}

// screenful is a program with the parts that all screens have.
type screenful struct{}

func (*screenful) Handle(e Event) bool {
	key, isKey := e.(KeyEvent)
	return !isKey || key.Name != "q" && key.Name != "ctrl-c"
}

func (*screenful) Draw(c *Canvas) {
	if TooSmall(c, "This") {
		return
	}
	DrawFrame(c, "Heron", TextLine{"q quit", Dim})
	BigText(c.Area(0, 1, c.Width, c.Height-2), "recording", Recording)
}

func (*screenful) Wake() sim.Micros { return sim.Never }

// fragile is a program that panics when a key is pressed.
type fragile struct{}

func (*fragile) Handle(e Event) bool {
	if _, isKey := e.(KeyEvent); isKey {
		panic("the program broke")
	}
	return true
}

func (*fragile) Draw(c *Canvas) { c.Text(0, 0, "? help", Plain) }

func (*fragile) Wake() sim.Micros { return sim.Never }

// program starts one of the programs of TestMain on a terminal.
func program(t *testing.T, name string, env ...string) *termtest.Console {
	t.Helper()
	return termtest.Start(t, exec.Command(os.Args[0]), append(env, programVariable+"="+name)...)
}

// quit ends the screenful.
func quit(t *testing.T, c *termtest.Console) {
	t.Helper()
	c.Type("q")
	require.Zero(t, c.WaitForEnd())
	c.WaitFor("ended: <nil>", 1)
}

func TestTheTerminalComesBack(t *testing.T) {
	for _, tt := range []struct {
		name    string
		program string
		end     func(*termtest.Console)
		code    int
		says    string
	}{
		{"after q", "screen", func(c *termtest.Console) { c.Type("q") }, 0, "ended: <nil>"},
		{"after ctrl-c", "screen", func(c *termtest.Console) { c.Type("\x03") }, 0, "ended: <nil>"},
		{"after SIGINT", "screen", termtest.Send(syscall.SIGINT), 0, "ended by a signal: interrupt"},
		{"after SIGTERM", "screen", termtest.Send(syscall.SIGTERM), 0, "ended by a signal: terminated"},
		{"after SIGHUP", "screen", termtest.Send(syscall.SIGHUP), 0, "ended by a signal: hangup"},
		{"after a panic", "panic", func(c *termtest.Console) { c.Type("x") }, 2, "panic: the program broke"},
		{"after a panic in a source", "panic in a source", func(*termtest.Console) {}, 2, "panic: the source broke"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			c := program(t, tt.program)
			c.WaitFor(termtest.EnterScreen, 1)
			if tt.program != "panic in a source" {
				c.WaitFor("? help", 1)
			}
			tt.end(c)
			require.Equal(t, tt.code, c.WaitForEnd())
			c.WaitFor(tt.says, 1)
			c.RequireRestored()
		})
	}
}

func TestCtrlZStopsAndFgContinues(t *testing.T) {
	t.Parallel()
	shell, err := exec.LookPath("sh")
	require.NoError(t, err)
	c := termtest.Start(t, exec.Command(shell, "-i"), programVariable+"=screen")
	c.Type(os.Args[0] + "\n")
	for round := 1; round <= 3; round++ {
		c.WaitFor("? help", round)
		c.Type("\x1a")
		c.WaitFor(termtest.LeaveScreen, round)
		c.WaitFor("Stopped", round)
		c.RequireRestored()
		c.Type("fg\n")
	}
	c.WaitFor("? help", 4)
	c.Type("q")
	c.WaitFor("ended: <nil>", 1)
	c.RequireRestored()
	c.Type("exit\n")
	require.Zero(t, c.WaitForEnd())
}

func TestCtrlZWithoutAShellGoesOn(t *testing.T) {
	t.Parallel()
	c := program(t, "screen")
	c.WaitFor("? help", 1)
	c.Type("\x1a")
	c.WaitFor(termtest.EnterScreen, 2)
	c.WaitFor("? help", 2)
	quit(t, c)
	c.RequireRestored()
}

func TestStoppedAndContinuedFromOutside(t *testing.T) {
	t.Parallel()
	c := program(t, "screen")
	c.WaitFor("? help", 1)
	require.NoError(t, c.Process.Process.Signal(syscall.SIGSTOP))
	c.RestoreModes()
	require.NoError(t, c.Process.Process.Signal(syscall.SIGCONT))
	c.WaitFor(termtest.EnterScreen, 2)
	c.WaitFor("? help", 2)
	quit(t, c)
	c.RequireRestored()
}

func TestAResizeRedraws(t *testing.T) {
	t.Parallel()
	c := program(t, "screen")
	c.WaitFor("? help", 1)
	c.Resize(30, 10)
	c.WaitFor("needs", 1)
	c.Resize(120, 40)
	c.WaitFor("? help", 2)
	quit(t, c)
}

func TestATerminalWithoutAScreenIsAnError(t *testing.T) {
	for _, kind := range []string{"dumb", "no-such-terminal", ""} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			c := program(t, "screen", "TERM="+kind)
			require.Zero(t, c.WaitForEnd())
			c.WaitFor(fmt.Sprintf("ended: cannot show a screen on this terminal (TERM=%q)", kind), 1)
			require.Equal(t, 1, strings.Count(c.Seen(), "\n"), "an error is one line: %q", c.Seen())
			require.NotContains(t, c.Seen(), termtest.EnterScreen)
		})
	}
}

func TestNoColorAndASCII(t *testing.T) {
	t.Parallel()
	c := program(t, "screen", "NO_COLOR=1", "LC_ALL=C")
	c.WaitFor("? help", 1)
	quit(t, c)
	require.NotRegexp(t, `\x1b\[[34]8[;:]|\x1b\[[349][0-7]m`, c.Seen(), "no colour is set")
	for _, r := range c.Seen() {
		require.Less(t, r, rune(0x80), "%q", r)
	}
}
