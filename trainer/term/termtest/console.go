//go:build unix

// Package termtest runs a program on a pseudo terminal, for tests: it types as a
// person would, reads what the program writes, and checks that the program restores
// the terminal.
package termtest

import (
	"bytes"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
	"golang.org/x/term"
)

// Control sequences of the terminal type that [Start] sets (xterm's, from
// terminfo).
const (
	EnterScreen = "\x1b[?1049h"
	LeaveScreen = "\x1b[?1049l"
	showCursor  = "\x1b[?25h"
	mouseOff    = "\x1b[?1000l"
)

// The published sequences that ask a terminal to report repeats and releases of
// keys, and whether it does.
const (
	WantReleases = "\x1b[>27u"
	askReleases  = "\x1b[?u"
)

// Patience is how long a test waits for an effect: long, so that a busy machine does
// not fail it.
const Patience = 3 * time.Minute

// Console is a pseudo terminal of 80 by 24 characters with a process on it.
type Console struct {
	Process *exec.Cmd

	t      testing.TB
	ours   *os.File // the person's side
	theirs *os.File // the process's side
	before *term.State

	mu     sync.Mutex
	output bytes.Buffer
	grown  chan struct{} // closed when more has been written
}

// Start starts a command as the leader of a session on a new terminal. env is added
// to the environment of the test.
func Start(t testing.TB, command *exec.Cmd, env ...string) *Console {
	t.Helper()
	ours, theirs, err := openTerminal()
	require.NoError(t, err)
	before, err := term.GetState(int(theirs.Fd()))
	require.NoError(t, err)

	c := &Console{t: t, ours: ours, theirs: theirs, before: before, Process: command, grown: make(chan struct{})}
	c.Resize(80, 24)
	command.Env = append(append(os.Environ(), "TERM=xterm-256color", "LC_ALL=C.UTF-8", "PS1=$ ", "ENV="), env...)
	command.Stdin, command.Stdout, command.Stderr = theirs, theirs, theirs
	command.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, command.Start())
	go c.collect()
	t.Cleanup(func() {
		_ = command.Process.Kill()
		ours.Close()
		theirs.Close()
	})
	return c
}

// openTerminal opens a pseudo terminal. Unlike package pty's, the person's side can
// be closed while it is being read.
func openTerminal() (ours, theirs *os.File, err error) {
	blocking, theirs, err := pty.Open()
	if err != nil {
		return nil, nil, err
	}
	defer blocking.Close()
	fd, err := unix.FcntlInt(blocking.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err != nil {
		return nil, nil, err
	}
	if err := unix.SetNonblock(fd, true); err != nil {
		return nil, nil, err
	}
	return os.NewFile(uintptr(fd), blocking.Name()), theirs, nil
}

func (c *Console) collect() {
	chunk := make([]byte, 4096)
	for {
		n, err := c.ours.Read(chunk)
		c.mu.Lock()
		c.output.Write(chunk[:n])
		close(c.grown)
		c.grown = make(chan struct{})
		c.mu.Unlock()
		if err != nil {
			return
		}
	}
}

// Resize changes the size of the terminal.
func (c *Console) Resize(width, height uint16) {
	c.t.Helper()
	terminal, err := c.ours.SyscallConn() // File.Fd would make reads block again
	require.NoError(c.t, err)
	var failed error
	require.NoError(c.t, terminal.Control(func(fd uintptr) {
		failed = unix.IoctlSetWinsize(int(fd), unix.TIOCSWINSZ, &unix.Winsize{Row: height, Col: width})
	}))
	require.NoError(c.t, failed)
}

// RestoreModes restores the modes of the terminal from before the process, as a
// shell does.
func (c *Console) RestoreModes() {
	c.t.Helper()
	require.NoError(c.t, term.Restore(int(c.theirs.Fd()), c.before))
}

// Seen returns everything that the process has written.
func (c *Console) Seen() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.output.String()
}

// WaitFor waits until a text has been written a number of times.
func (c *Console) WaitFor(text string, times int) {
	c.t.Helper()
	c.WaitUntil(func(seen string) bool { return strings.Count(seen, text) >= times }, "%q was not shown %d times", text, times)
}

// WaitUntil waits until what the process has written meets a condition. The
// message says what did not happen.
func (c *Console) WaitUntil(met func(seen string) bool, message string, args ...any) {
	c.t.Helper()
	for patience := time.After(Patience); ; {
		c.mu.Lock()
		seen, grown := c.output.String(), c.grown
		c.mu.Unlock()
		if met(seen) {
			return
		}
		select {
		case <-grown:
		case <-patience:
			c.t.Fatalf(message, args...)
		}
	}
}

// Type types keys.
func (c *Console) Type(keys string) {
	c.t.Helper()
	_, err := c.ours.WriteString(keys)
	require.NoError(c.t, err)
}

// ReportsReleases waits until the process has asked a number of times whether
// releases are reported. It answers as a terminal that reports them, or as one that
// does not know the question. (Progressive keyboard enhancement; DA1.)
func (c *Console) ReportsReleases(does bool, times int) {
	c.t.Helper()
	c.WaitFor(askReleases, times)
	answer := "\x1b[?62;22c"
	if does {
		answer = "\x1b[?27u" + answer
	}
	c.Type(answer)
}

// HangUp removes the terminal.
func (c *Console) HangUp() {
	c.t.Helper()
	require.NoError(c.t, c.theirs.Close())
	require.NoError(c.t, c.ours.Close())
}

// Send returns a function that sends a signal to the process of a console.
func Send(sig syscall.Signal) func(*Console) {
	return func(c *Console) { require.NoError(c.t, c.Process.Process.Signal(sig)) }
}

// RequireRestored checks that the terminal is as before the process.
func (c *Console) RequireRestored() {
	c.t.Helper()
	after, err := term.GetState(int(c.theirs.Fd()))
	require.NoError(c.t, err)
	require.Equal(c.t, c.before, after, "the modes of the terminal")
	c.WaitFor(LeaveScreen, strings.Count(c.Seen(), EnterScreen)) // the last bytes may still be on their way
	last := c.Seen()[strings.LastIndex(c.Seen(), EnterScreen):]
	for _, sequence := range []string{LeaveScreen, showCursor, mouseOff} {
		require.Contains(c.t, last, sequence)
	}
	require.Equal(c.t, strings.Count(c.Seen(), "\x1b[>1u")+strings.Count(c.Seen(), WantReleases), strings.Count(c.Seen(), "\x1b[<u"),
		"flags that the program pushes, it pops again")
}

// WaitForEnd waits for the end of the process and returns its exit code.
func (c *Console) WaitForEnd() int {
	c.t.Helper()
	late := time.AfterFunc(Patience, func() { _ = c.Process.Process.Kill() })
	_ = c.Process.Wait() // the exit code says how it ended
	require.True(c.t, late.Stop(), "the process did not end")
	c.drain()
	return c.Process.ProcessState.ExitCode()
}

// drain waits until all output has been read, unless the terminal is gone.
func (c *Console) drain() {
	const mark = "\x05\x05"
	if _, err := c.theirs.WriteString(mark); err != nil {
		return
	}
	c.WaitFor(mark, 1)
	c.mu.Lock()
	defer c.mu.Unlock()
	c.output.Truncate(c.output.Len() - len(mark))
}
