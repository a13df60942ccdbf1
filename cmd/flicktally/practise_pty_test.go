//go:build unix

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer/history"
	"flicktally/trainer/term/termtest"
)

// The command on a pseudo terminal, with this test binary as the program.

// practising is the command while somebody practises with it.
type practising struct {
	*termtest.Console
	folder string // of the journal
}

// startPractise starts a drill with the keyboard, in a folder of its own.
func startPractise(t testing.TB, args ...string) *practising {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "data")
	command := asFlicktally(append([]string{"practise", "--data", folder, "--resolution", "9ms"}, args...)...)
	command.Dir = t.TempDir()
	putPatientRig(t, command.Dir)
	return &practising{termtest.Start(t, command), folder}
}

// putPatientRig writes a rig for whose camera no press is long, however late a busy
// machine releases the key.
func putPatientRig(t testing.TB, folder string) {
	t.Helper()
	require.NoError(t, os.WriteFile(filepath.Join(folder, rigInFolder), []byte("camera.long_press = \"10m\"\n"), 0o600))
}

// asFlicktally makes the test binary run as the program.
func asFlicktally(args ...string) *exec.Cmd {
	self, err := os.Executable()
	if err != nil {
		panic(err)
	}
	return &exec.Cmd{Path: self, Args: append([]string{"flicktally"}, args...)}
}

// runIn runs the program in a folder.
func runIn(folder string, args ...string) (code int, out, errs string) {
	state, out, errs := ran(folder, args...)
	return state.ExitCode(), out, errs
}

// ran is the same, and returns how the process ended.
func ran(folder string, args ...string) (state *os.ProcessState, out, errs string) {
	command := asFlicktally(args...)
	var stdout, stderr strings.Builder
	command.Dir, command.Stdout, command.Stderr = folder, &stdout, &stderr
	_ = command.Run() // the exit code is checked
	return command.ProcessState, stdout.String(), stderr.String()
}

// flick types a flick that toggles. It lets go once the press has been shown for
// a while, so that a busy machine makes the hold longer but never short.
func (p *practising) flick() {
	const pressed = "switch: pressed"
	before := strings.Count(p.Seen(), pressed)
	p.Type(" ")
	p.WaitFor(pressed, before+1)
	time.Sleep(200 * time.Millisecond)
	p.Type(" ")
}

// drills reads the journal.
func (p *practising) drills(t testing.TB) []*history.Drill {
	t.Helper()
	h, err := history.At(p.folder).Read()
	require.NoError(t, err)
	require.Empty(t, h.Damage)
	return h.Drills
}

func TestPracticeIsKeptHoweverItEnds(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		end  func(*termtest.Console)
		code int
		says string
	}{
		{"q", func(c *termtest.Console) { c.Type("qq") }, exitDone, "practised: 1 drill"},
		{"ctrl-c", func(c *termtest.Console) { c.Type("\x03") }, exitDone, "practised: 1 drill"},
		{"SIGINT", termtest.Send(syscall.SIGINT), exitFailed, "ended by a signal: interrupt"},
		{"SIGTERM", termtest.Send(syscall.SIGTERM), exitFailed, "ended by a signal: terminated"},
		{"SIGHUP", termtest.Send(syscall.SIGHUP), exitFailed, "ended by a signal: hangup"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			p := startPractise(t, "flick")
			p.WaitFor("standby", 1)
			p.flick()
			p.WaitFor("switch: rest", 2) // a signal overtakes keys; the flick is not judged yet
			tt.end(p.Console)
			require.Equal(t, tt.code, p.WaitForEnd())
			p.WaitFor(tt.says, 1)
			p.RequireRestored()
			drills := p.drills(t)
			require.Len(t, drills, 1)
			require.Len(t, drills[0].Flicks, 1)
			require.Equal(t, sim.VerdictToggle, drills[0].Flicks[0].Verdict)
		})
	}
}

func TestAKilledPracticeLosesTheFlickInHandOnly(t *testing.T) {
	t.Parallel()
	p := startPractise(t, "flick")
	p.WaitFor("standby", 1)
	p.flick()
	require.Eventually(t, func() bool {
		drills := p.drills(t)
		return len(drills) == 1 && len(drills[0].Flicks) == 1
	}, termtest.Patience, 5*time.Millisecond)
	p.Type(" ")
	require.NoError(t, p.Process.Process.Kill())
	require.Equal(t, -1, p.WaitForEnd())
	require.Len(t, p.drills(t)[0].Flicks, 1)
}

// A drill that is stopped with the program is paused, and continues at the same
// time.
func TestPracticePausesThroughCtrlZ(t *testing.T) {
	t.Parallel()
	shell, err := exec.LookPath("sh")
	require.NoError(t, err)
	self, err := os.Executable()
	require.NoError(t, err)
	link := filepath.Join(t.TempDir(), "flicktally")
	require.NoError(t, os.Symlink(self, link))
	folder := t.TempDir()
	interactive := exec.Command(shell, "-i")
	interactive.Dir = t.TempDir()
	putPatientRig(t, interactive.Dir)
	c := termtest.Start(t, interactive)
	p := &practising{c, folder}
	c.Type(link + " practise flick --resolution 9ms --data " + folder + "\n")
	c.WaitFor("standby", 1)
	p.flick()
	c.Type("\x1a")
	c.WaitFor("Stopped", 1)
	c.RequireRestored()
	time.Sleep(1500 * time.Millisecond)
	c.Type("fg\n")
	c.WaitFor("the program was suspended", 1)
	c.Type("p")
	c.WaitFor("standby", 2)
	p.flick()
	c.Type("\x03")
	c.WaitFor("practised: 1 drill, 2 trials, 2 flicks", 1)
	c.RequireRestored()
	c.Type("exit\n")
	require.Zero(t, c.WaitForEnd())
	require.Len(t, p.drills(t)[0].Flicks, 2)
}

func TestPracticeNeedsATerminalWithAScreen(t *testing.T) {
	t.Parallel()
	c := termtest.Start(t, asFlicktally("practise", "--data", t.TempDir()), "TERM=dumb")
	require.Equal(t, exitFailed, c.WaitForEnd())
	c.WaitFor("cannot practise here: cannot show a screen on this terminal", 1)
	require.NotContains(t, c.Seen(), termtest.EnterScreen)
}

func TestPracticeWithoutColourInASCII(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	c := termtest.Start(t, asFlicktally("practise", "blind", "--resolution", "9ms", "--data", folder), "NO_COLOR=1", "LC_ALL=C")
	c.WaitFor("hidden: keep count", 1)
	(&practising{c, folder}).flick()
	c.Type("\x03")
	require.Zero(t, c.WaitForEnd())
	require.NotRegexp(t, `\x1b\[[34]8[;:]|\x1b\[[349][0-7]m`, c.Seen(), "no colour is set")
	for _, r := range c.Seen() {
		require.Less(t, r, rune(0x80), "%q", r)
	}
}
