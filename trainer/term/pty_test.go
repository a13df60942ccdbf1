//go:build unix

package term

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/term"

	"flicktally/sim"
)

// The terminal comes back as it was: tried on a real pseudo terminal, with this
// test binary as the program.

// programVariable names the program that the test binary is to be, instead of
// running tests.
const programVariable = "TERM_TEST_PROGRAM"

func TestMain(m *testing.M) {
	name := os.Getenv(programVariable)
	if name == "" {
		os.Exit(m.Run())
	}
	var err error
	switch name {
	case "view":
		err = Run(NewViewer([]Log{regatta()}, nil))
	case "panic":
		err = Run(&fragile{})
	case "panic in a source":
		err = Run(&fragile{}, func(post func(any), done <-chan struct{}) {
			post("ready")
			panic("the source broke")
		})
	}
	fmt.Printf("ended: %v\n", err)
}

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

// console is a pseudo terminal with a process on it.
type console struct {
	t       *testing.T
	process *exec.Cmd
	ours    *os.File // the side of the person
	theirs  *os.File // the side of the process
	before  *term.State

	mu     sync.Mutex
	output bytes.Buffer
}

// onConsole starts a command as the leader of a session on a terminal.
func onConsole(t *testing.T, env []string, name string, args ...string) *console {
	t.Helper()
	ours, theirs, err := pty.Open()
	require.NoError(t, err)
	require.NoError(t, pty.Setsize(ours, &pty.Winsize{Rows: 24, Cols: 80}))
	before, err := term.GetState(int(theirs.Fd()))
	require.NoError(t, err)

	c := &console{t: t, ours: ours, theirs: theirs, before: before, process: exec.Command(name, args...)}
	c.process.Env = append(append(os.Environ(), "TERM=xterm-256color", "LC_ALL=C.UTF-8", "PS1=$ ", "ENV="), env...)
	c.process.Stdin, c.process.Stdout, c.process.Stderr = theirs, theirs, theirs
	c.process.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, c.process.Start())
	go c.collect()
	t.Cleanup(func() {
		_ = c.process.Process.Kill()
		ours.Close()
		theirs.Close()
	})
	return c
}

// program starts one of the programs of TestMain on a terminal.
func program(t *testing.T, name string, env ...string) *console {
	t.Helper()
	return onConsole(t, append(env, programVariable+"="+name), os.Args[0])
}

func (c *console) collect() {
	chunk := make([]byte, 4096)
	for {
		n, err := c.ours.Read(chunk)
		c.mu.Lock()
		c.output.Write(chunk[:n])
		c.mu.Unlock()
		if err != nil {
			return
		}
	}
}

func (c *console) seen() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.output.String()
}

// waitFor waits until a text has been shown so many times.
func (c *console) waitFor(text string, times int) {
	c.t.Helper()
	require.Eventually(c.t, func() bool { return strings.Count(c.seen(), text) >= times },
		10*time.Second, 5*time.Millisecond, "%q was not shown %d times", text, times)
}

func (c *console) typeKeys(keys string) {
	c.t.Helper()
	_, err := c.ours.WriteString(keys)
	require.NoError(c.t, err)
}

// The control sequences of the terminal type that the programs are told to use
// (xterm's, as terminfo lists them).
const (
	enterScreen = "\x1b[?1049h"
	leaveScreen = "\x1b[?1049l"
	showCursor  = "\x1b[?25h"
	mouseOff    = "\x1b[?1000l"
)

// requireRestored checks that the terminal is as it was before the process.
func (c *console) requireRestored() {
	c.t.Helper()
	after, err := term.GetState(int(c.theirs.Fd()))
	require.NoError(c.t, err)
	require.Equal(c.t, c.before, after, "the modes of the terminal")
	last := c.seen()[strings.LastIndex(c.seen(), enterScreen):]
	for _, sequence := range []string{leaveScreen, showCursor, mouseOff} {
		require.Contains(c.t, last, sequence)
	}
}

// waitForEnd waits for the end of the process and returns its exit code.
func (c *console) waitForEnd() int {
	c.t.Helper()
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		_ = c.process.Wait() // the code tells
	}()
	select {
	case <-ended:
	case <-time.After(10 * time.Second):
		c.t.Fatal("the process did not end")
	}
	return c.process.ProcessState.ExitCode()
}

// quit ends the viewer.
func (c *console) quit() {
	c.t.Helper()
	c.typeKeys("q")
	require.Zero(c.t, c.waitForEnd())
	c.waitFor("ended: <nil>", 1)
}

func TestTheTerminalComesBack(t *testing.T) {
	for _, tt := range []struct {
		name    string
		program string
		end     func(*console)
		code    int
		says    string
	}{
		{"after q", "view", func(c *console) { c.typeKeys("q") }, 0, "ended: <nil>"},
		{"after ctrl-c", "view", func(c *console) { c.typeKeys("\x03") }, 0, "ended: <nil>"},
		{"after SIGINT", "view", send(syscall.SIGINT), 0, "ended by a signal: interrupt"},
		{"after SIGTERM", "view", send(syscall.SIGTERM), 0, "ended by a signal: terminated"},
		{"after SIGHUP", "view", send(syscall.SIGHUP), 0, "ended by a signal: hangup"},
		{"after a panic", "panic", func(c *console) { c.typeKeys("x") }, 2, "panic: the program broke"},
		{"after a panic in a source", "panic in a source", func(*console) {}, 2, "panic: the source broke"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			c := program(t, tt.program)
			c.waitFor(enterScreen, 1)
			if tt.program != "panic in a source" {
				c.waitFor("? help", 1)
			}
			tt.end(c)
			require.Equal(t, tt.code, c.waitForEnd())
			c.waitFor(tt.says, 1)
			c.requireRestored()
		})
	}
}

func send(sig syscall.Signal) func(*console) {
	return func(c *console) { require.NoError(c.t, c.process.Process.Signal(sig)) }
}

func TestCtrlZStopsAndFgContinues(t *testing.T) {
	t.Parallel()
	shell, err := exec.LookPath("sh")
	require.NoError(t, err)
	c := onConsole(t, []string{programVariable + "=view"}, shell, "-i")
	c.typeKeys(os.Args[0] + "\n")
	for round := 1; round <= 3; round++ {
		c.waitFor("? help", round)
		c.typeKeys("\x1a")
		c.waitFor(leaveScreen, round)
		c.waitFor("Stopped", round)
		c.requireRestored()
		c.typeKeys("fg\n")
	}
	c.waitFor("? help", 4)
	c.typeKeys("q")
	c.waitFor("ended: <nil>", 1)
	c.requireRestored()
	c.typeKeys("exit\n")
	require.Zero(t, c.waitForEnd())
}

func TestCtrlZWithoutAShellGoesOn(t *testing.T) {
	t.Parallel()
	c := program(t, "view")
	c.waitFor("? help", 1)
	c.typeKeys("\x1a")
	c.waitFor(enterScreen, 2)
	c.waitFor("? help", 2)
	c.quit()
	c.requireRestored()
}

func TestStoppedAndContinuedFromOutside(t *testing.T) {
	t.Parallel()
	c := program(t, "view")
	c.waitFor("? help", 1)
	require.NoError(t, c.process.Process.Signal(syscall.SIGSTOP))
	require.NoError(t, term.Restore(int(c.theirs.Fd()), c.before)) // as a shell does
	require.NoError(t, c.process.Process.Signal(syscall.SIGCONT))
	c.waitFor(enterScreen, 2)
	c.waitFor("? help", 2)
	c.quit()
	c.requireRestored()
}

func TestAResizeRedraws(t *testing.T) {
	t.Parallel()
	c := program(t, "view")
	c.waitFor("? help", 1)
	require.NoError(t, pty.Setsize(c.ours, &pty.Winsize{Rows: 10, Cols: 30}))
	c.waitFor("needs 40 x 12", 1)
	require.NoError(t, pty.Setsize(c.ours, &pty.Winsize{Rows: 40, Cols: 120}))
	c.waitFor("? help", 2)
	c.quit()
}

func TestATerminalWithoutAScreenIsAnError(t *testing.T) {
	for _, kind := range []string{"dumb", "no-such-terminal", ""} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			c := program(t, "view", "TERM="+kind)
			require.Zero(t, c.waitForEnd())
			c.waitFor(fmt.Sprintf("ended: cannot show a screen on this terminal (TERM=%q)", kind), 1)
			require.NotContains(t, c.seen(), enterScreen)
		})
	}
}

func TestNoColorAndASCII(t *testing.T) {
	t.Parallel()
	c := program(t, "view", "NO_COLOR=1", "LC_ALL=C")
	c.waitFor("? help", 1)
	c.quit()
	require.NotRegexp(t, `\x1b\[[34]8[;:]|\x1b\[[349][0-7]m`, c.seen(), "no colour is set")
	for _, r := range c.seen() {
		require.Less(t, r, rune(0x80), "%q", r)
	}
}
