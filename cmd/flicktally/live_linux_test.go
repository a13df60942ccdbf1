package main

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"
	"unsafe"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"flicktally/sim"
	"flicktally/trainer/device"
	"flicktally/trainer/term/termtest"
)

// The command as a process, fed while it runs.

// airborne is the command live while something comes in.
type airborne struct {
	*exec.Cmd
	t      *testing.T
	folder string
	lines  chan string   // of standard output; closed at its end
	notes  *bufio.Reader // standard error
}

// takeOff starts live with a record and a final report.
func takeOff(t *testing.T, in io.Reader, args ...string) *airborne {
	t.Helper()
	folder := t.TempDir()
	putPatientRig(t, folder)
	args = append([]string{"live", "--record", "record.csv", "--final", "final.json", "--jsonl", "--every", "100ms"}, args...)
	command := asFlicktally(args...)
	command.Dir, command.Stdin = folder, in
	out, err := command.StdoutPipe()
	require.NoError(t, err)
	errs, err := command.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, command.Start())
	t.Cleanup(func() { _ = command.Process.Kill() })
	a := &airborne{command, t, folder, make(chan string, 10000), bufio.NewReader(errs)}
	go func() {
		defer close(a.lines)
		for lines := bufio.NewScanner(out); lines.Scan(); {
			a.lines <- lines.Text()
		}
	}()
	return a
}

// takeOffWithAFlick starts live on standard input and waits until it has shown a
// flick.
func takeOffWithAFlick(t *testing.T) (a *airborne, input *os.File) {
	t.Helper()
	in, input, err := os.Pipe()
	require.NoError(t, err)
	a = takeOff(t, in, "-")
	in.Close()
	io.WriteString(input, "time_us,aux2\n"+flickInRows())
	a.until(`"event":"press"`)
	return a, input
}

// until returns the next line that matches.
func (a *airborne) until(pattern string) string {
	a.t.Helper()
	patience := time.After(termtest.Patience)
	for match := regexp.MustCompile(pattern); ; {
		select {
		case line, open := <-a.lines:
			require.True(a.t, open, "no line matched %s", pattern)
			if match.MatchString(line) {
				return line
			}
		case <-patience:
			a.t.Fatalf("no line matched %s in time", pattern)
		}
	}
}

// said reports whether a line that matches has come since it was asked last.
func (a *airborne) said(pattern string) bool {
	for match := regexp.MustCompile(pattern); ; {
		select {
		case line, open := <-a.lines:
			require.True(a.t, open, "no line matched %s", pattern)
			if match.MatchString(line) {
				return true
			}
		default:
			return false
		}
	}
}

func (a *airborne) path(name string) string { return filepath.Join(a.folder, name) }

// flownJSON is what the tests read of the final report.
type flownJSON struct {
	Log     struct{ Samples int }
	Presses []struct {
		Down       sim.Micros     `json:"down_us"`
		Hold       *sim.Micros    `json:"hold_us"`
		HandBounds *[2]sim.Micros `json:"hand_bounds_us"`
		Verdict    sim.Verdict
	}
	Takes    []any
	Armed    any
	Findings []struct{ Code string }
}

// land ends the command, with an interrupt if asked to, and
// checks that its record replays to its final report, to the byte. It returns
// the flight.
func (a *airborne) land(interrupt bool) flownJSON {
	a.t.Helper()
	if interrupt {
		require.NoError(a.t, a.Process.Signal(os.Interrupt))
	}
	for range a.lines {
	}
	notes, err := io.ReadAll(a.notes)
	require.NoError(a.t, err)
	require.NoError(a.t, a.Wait(), "%s", notes)
	final, err := os.ReadFile(a.path("final.json"))
	require.NoError(a.t, err)
	require.Equal(a.t, string(final), replayed(a.t, a.folder))
	var flight flownJSON
	require.NoError(a.t, json.Unmarshal(final, &flight))
	return flight
}

// replayed replays a record.
func replayed(t *testing.T, folder string, args ...string) string {
	t.Helper()
	command := asFlicktally(append(append([]string{"replay", "--json"}, args...), "record.csv")...)
	command.Dir = folder
	out, err := command.Output()
	require.NoError(t, err)
	return string(out)
}

// rows writes rows of a channel log, one every 10 ms, from and to in ms.
func rows(from, to int, value int) string {
	var text strings.Builder
	for at := from; at < to; at += 10 {
		fmt.Fprintf(&text, "%d,%d\n", at*1000, value)
	}
	return text.String()
}

func flickInRows() string {
	return rows(0, 1000, 1000) + rows(1000, 1300, 2000) + rows(1300, 1500, 1000)
}

// Each row is shown before the next arrives; without rows the input is lost; later
// rows continue the flight as if it had never been lost.
func TestLiveFollowsAPipe(t *testing.T) {
	t.Parallel()
	in, write, err := os.Pipe()
	require.NoError(t, err)
	a := takeOff(t, in, "-")
	in.Close()
	io.WriteString(write, "time_us,aux2\n"+rows(0, 1000, 1000)+rows(1000, 1300, 2000))
	a.until(`"input":"(running|lost)".*"press":{"n":1,.*"phase":"`)
	io.WriteString(write, rows(1300, 1500, 1000))
	a.until(`"event":"press","segment":1,"n":1,"down_us":1000000,"up_us":1300000,.*"verdict":"toggle"`)
	a.until(`"input":"lost","lost_for_us":[0-9]{6,},"state":"recording"`)
	io.WriteString(write, rows(1500, 2000, 1000))
	write.Close()
	a.until(`"input":"ended"`)
	flight := a.land(false)
	require.Equal(t, 200, flight.Log.Samples)
	require.Len(t, flight.Takes, 1)
	for _, finding := range flight.Findings {
		require.NotContains(t, finding.Code, "no-signal", "it was lost on the way only: the rows have no gap")
	}
}

func TestLiveFollowsAGrowingFile(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "growing.csv")
	file, err := os.Create(path)
	require.NoError(t, err)
	defer file.Close()
	a := takeOff(t, nil, path)
	file.WriteString("time_us,aux2\n" + rows(0, 1000, 1000) + "10000") // a row that is not whole yet
	a.until(`"at_us":[1-9][0-9]{5,},`)
	file.WriteString("00,2000\n" + rows(1010, 1300, 2000) + rows(1300, 1500, 1000))
	a.until(`"event":"press".*"hold_us":300000`)
	flight := a.land(true)
	require.Len(t, flight.Presses, 1)
	require.Equal(t, 150, flight.Log.Samples)
}

// A file that is cut, replaced or taken away and put back is followed by its name;
// the camera and the flight continue.
func TestLiveFollowsTheNameOfAFile(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "growing.csv")
	text := "time_us,aux2\n" + flickInRows()
	require.NoError(t, os.WriteFile(path, []byte(text+"1510000,1"), 0o600))
	a := takeOff(t, nil, path)
	a.until(`"event":"press","segment":1,"n":1,`)
	require.NoError(t, os.WriteFile(path, []byte(text[:len(text)/2]), 0o600))
	a.until(`"notice":"[^"]*was cut|"notice":"the clock of the source restarted`)
	require.NoError(t, os.WriteFile(path+".next", []byte(text), 0o600))
	require.NoError(t, os.Rename(path+".next", path))
	a.until(`"event":"press","segment":1,"n":[23],`)
	require.NoError(t, os.Remove(path))
	a.until(`"input":"lost".*is gone; waiting for it`)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	a.until(`"event":"press","segment":1,"n":[34],`)
	flight := a.land(true)
	require.GreaterOrEqual(t, len(flight.Presses), 3)
	record, err := os.ReadFile(a.path("record.csv"))
	require.NoError(t, err)
	require.Contains(t, string(record), "# the clock of the source restarted")
	require.Contains(t, string(record), `# 1 row left out: "1510000,1"`)
}

// Datagrams, on this machine only.
func TestLiveListensToDatagrams(t *testing.T) {
	t.Parallel()
	a := takeOff(t, nil, "--udp", "0", "--channel", "aux2")
	address, found := "", false
	for !found {
		line, err := a.notes.ReadString('\n')
		require.NoError(t, err)
		address, found = strings.CutPrefix(strings.TrimSpace(line), "listening on udp ")
	}
	require.True(t, strings.HasPrefix(address, "127.0.0.1:"), address)
	conn, err := net.Dial("udp", address)
	require.NoError(t, err)
	defer conn.Close()

	text, err := os.ReadFile("testdata/script/replay_mavlink.txtar")
	require.NoError(t, err)
	_, section, _ := strings.Cut(string(text), "-- regatta.hex --\n")
	section, _, _ = strings.Cut(section, "-- damaged.hex --\n")
	frames, err := hex.DecodeString(strings.Join(strings.Fields(section), ""))
	require.NoError(t, err)
	for len(frames) > 0 {
		size := 12 + int(frames[1]) // a version 2 frame: magic, length, 8 more, payload, check sum
		_, err := conn.Write(frames[:size])
		require.NoError(t, err)
		frames = frames[size:]
	}
	a.until(`"event":"press".*"n":2,.*"hold_us":250000`)
	flight := a.land(true)
	require.Len(t, flight.Takes, 1)
	require.NotNil(t, flight.Armed)
}

// A transmitter's switch, by event records as linux/input.h lays them out, with the
// kernel's times, which the bounds of the hold contain. (On a busy machine a move that
// is read late counts when it is read, so the checks are against when it was shown.)
// Between moves the input is not lost; without the transmitter it is.
func TestLiveFollowsATransmitter(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "event7")
	require.NoError(t, unix.Mkfifo(path, 0o600))
	a := takeOff(t, nil, "--device", path, "--switch", "axis 5")
	pipe, err := os.OpenFile(path, os.O_WRONLY, 0)
	require.NoError(t, err)
	move := func(at sim.Micros, value int32) {
		b := eventRecord(at, value)
		pipe.Write(b[:11]) // records may come torn
		pipe.Write(b[11:])
	}
	began := device.Now()
	move(began, -32767)
	time.Sleep(700 * time.Millisecond) // longer than the signal may be away
	down := device.Now()
	move(down, 32767)
	a.until(`"input":"running".*"press":{"n":1,`)
	downShown := device.Now()
	time.Sleep(150 * time.Millisecond)
	up := device.Now()
	move(up, -32767)
	a.until(`"event":"press"`)
	upShown := device.Now()
	a.until(`"input":"running"`)
	require.NoError(t, pipe.Close())
	a.until(`"input":"lost"`)
	flight := a.land(true)
	require.Len(t, flight.Presses, 1)
	press := flight.Presses[0]
	require.GreaterOrEqual(t, press.Down, down-began)
	require.LessOrEqual(t, press.HandBounds[0], upShown-down)
	require.GreaterOrEqual(t, press.HandBounds[1], up-downShown)
	require.Equal(t, sim.VerdictToggle, press.Verdict)
}

// The same by the older joystick records (kernel.org, input/joydev/joystick-api:
// u32 ms, s16 value, u8 type, u8 number), stamped when they are read, with a
// switch that is found by its moving.
func TestLiveFindsTheSwitch(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "js0")
	require.NoError(t, unix.Mkfifo(path, 0o600))
	a := takeOff(t, nil, "--device", path)
	pipe, err := os.OpenFile(path, os.O_WRONLY, 0)
	require.NoError(t, err)
	defer pipe.Close()
	move := func(value int16, kind byte) {
		b := make([]byte, 8)
		binary.NativeEndian.PutUint16(b[4:], uint16(value))
		b[6], b[7] = kind, 4
		pipe.Write(b)
		time.Sleep(150 * time.Millisecond)
	}
	began := device.Now()
	move(-32767, 0x82)
	flicks := 0
	for !a.said(`"event":"press"`) { // a busy machine may read two moves at once
		move(32767, 0x02)
		move(-32767, 0x02)
		flicks++
	}
	flight := a.land(true)
	require.NotEmpty(t, flight.Presses)
	require.Less(t, len(flight.Presses), flicks, "the first flick finds it")
	require.Less(t, *flight.Presses[0].Hold, device.Now()-began)
}

// However the program dies, the record contains what had arrived.
func TestAKilledTallyKeepsItsRecord(t *testing.T) {
	t.Parallel()
	a, write := takeOffWithAFlick(t)
	defer write.Close()
	require.NoError(t, a.Process.Kill())
	require.Error(t, a.Wait())
	record, err := os.ReadFile(a.path("record.csv"))
	require.NoError(t, err)
	require.Equal(t, "# flicktally record: channel\ntime_us,channel\n"+flickInRows(), string(record))
	require.Contains(t, replayed(t, a.folder), `"hold_us": 300000`)
}

// A reader of standard output that is slow loses nothing of the record, and blocks
// no writer.
func TestASlowReaderLosesNothing(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	command := asFlicktally("live", "--record", "record.csv", "--jsonl", "--every", "0s", "-")
	command.Dir = folder
	in, err := command.StdinPipe()
	require.NoError(t, err)
	unread, out, err := os.Pipe() // nobody reads
	require.NoError(t, err)
	defer unread.Close()
	_, _ = unix.FcntlInt(out.Fd(), unix.F_SETPIPE_SZ, 4096)
	command.Stdout = out
	require.NoError(t, command.Start())
	out.Close()
	defer command.Process.Kill()

	const flicks = 2000
	_, err = io.WriteString(in, "time_us,aux2\n")
	require.NoError(t, err)
	for i := range flicks {
		at := i * 1000
		_, err := io.WriteString(in, rows(at, at+500, 1000)+rows(at+500, at+700, 2000)+rows(at+700, at+1000, 1000))
		require.NoError(t, err)
	}
	waitForLines(t, filepath.Join(folder, "record.csv"), 2+flicks*100)
}

// waitForLines waits until a file has that many lines.
func waitForLines(t *testing.T, path string, lines int) {
	t.Helper()
	require.Eventually(t, func() bool {
		text, err := os.ReadFile(path)
		return err == nil && bytes.Count(text, []byte("\n")) == lines
	}, termtest.Patience, 20*time.Millisecond)
}

// A serial device passes its bytes unchanged, at the requested speed.
func TestLiveReadsASerialDevice(t *testing.T) {
	t.Parallel()
	ours, theirs, err := pty.Open()
	require.NoError(t, err)
	defer ours.Close()
	defer theirs.Close()
	a := takeOff(t, nil, "--baud", "115200", theirs.Name())
	set := waitForRaw(t, theirs)
	require.Equal(t, uint32(115200), set.Ispeed)
	_, err = ours.WriteString("time_us,aux2\n" + flickInRows())
	require.NoError(t, err)
	a.until(`"event":"press".*"hold_us":300000`)
	require.Len(t, a.land(true).Presses, 1)
}

// waitForRaw waits until a device passes its bytes unchanged.
func waitForRaw(t *testing.T, device *os.File) (set *unix.Termios) {
	t.Helper()
	require.Eventually(t, func() (raw bool) {
		var err error
		set, err = unix.IoctlGetTermios(int(device.Fd()), unix.TCGETS2)
		return err == nil && set.Lflag&unix.ICANON == 0
	}, termtest.Patience, time.Millisecond)
	return set
}

// A user without a screen types what the light shows; replay with the same glances
// reports the same.
func TestKeysOnStandardInput(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "growing.csv")
	require.NoError(t, os.WriteFile(path, []byte("time_us,aux2\n"+flickInRows()), 0o600))
	rig := filepath.Join(t.TempDir(), "open.toml")
	require.NoError(t, os.WriteFile(rig, []byte("camera.start = \"unknown\"\n"), 0o600))
	in, write, err := os.Pipe()
	require.NoError(t, err)
	a := takeOff(t, in, "--rig", rig, "--keys", path)
	in.Close()
	a.until(`"event":"press"`)
	a.until(`"recording":0.5,"open":true`)
	io.WriteString(write, "r\n")
	note, err := a.notes.ReadString('\n')
	require.NoError(t, err)
	seen := regexp.MustCompile(`light: recording at (\S+)`).FindStringSubmatch(note)
	require.NotNil(t, seen, note)
	a.until(`"recording":0.999[0-9]*,"open":true`)

	file, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	io.WriteString(file, rows(1500, 60_000, 1000)) // past the glance
	file.Close()
	a.until(`"at_us":(59|6)[0-9]{6,7},`)
	io.WriteString(write, "x\nq\n")
	for range a.lines {
	}
	notes, err := io.ReadAll(a.notes)
	require.NoError(t, err)
	require.NoError(t, a.Wait())
	require.Contains(t, string(notes), "found \"x\", want r, s or o")
	require.Contains(t, string(notes), "--seen "+seen[1]+"=recording record.csv")
	final, err := os.ReadFile(a.path("final.json"))
	require.NoError(t, err)
	require.Equal(t, string(final), replayed(t, a.folder, "--rig", rig, "--seen", seen[1]+"=recording"))
}

// The screen, on a pseudo terminal: keys come from the terminal while the stream
// comes from standard input.
func TestTheLiveScreen(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		end  func(*termtest.Console)
		code int
	}{
		{"q", func(c *termtest.Console) { c.Type("qq") }, exitDone},
		{"ctrl-c", func(c *termtest.Console) { c.Type("\x03") }, exitDone},
		{"SIGTERM", termtest.Send(syscall.SIGTERM), exitFailed},
		{"SIGHUP", termtest.Send(syscall.SIGHUP), exitFailed},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			path := filepath.Join(t.TempDir(), "growing.csv")
			require.NoError(t, os.WriteFile(path, []byte("time_us,aux2\n"+flickInRows()), 0o600))
			command := asFlicktally("live", "--record", "record.csv", path)
			command.Dir = t.TempDir()
			c := termtest.Start(t, command)
			c.WaitFor(" ago, flick", 1)
			c.Type("r")
			c.WaitFor("light: recording at 0:", 1)
			tt.end(c)
			require.Equal(t, tt.code, c.WaitForEnd())
			c.WaitFor("0:01.0  300 ms", 1)
			c.WaitFor("recorded; to replay it", 1)
			c.RequireRestored()
			require.Contains(t, replayed(t, command.Dir), `"hold_us": 300000`)
		})
	}
}

func TestATerminalWithoutAScreenGetsLines(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "flight.csv")
	require.NoError(t, os.WriteFile(path, []byte("time_us,aux2\n"+flickInRows()), 0o600))
	c := termtest.Start(t, asFlicktally("live", "--no-follow", path), "TERM=dumb")
	require.Equal(t, exitDone, c.WaitForEnd())
	c.WaitFor("lines are printed instead", 1)
	c.WaitFor("flick 1: held 300 ms, toggled", 1)
	require.NotContains(t, c.Seen(), "\x1b[?")
}

// If nobody reads standard output, or it is closed, the record and the final file
// are written anyway.
func TestNobodyWhoReadsEndsTheRecord(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"closed", "unread"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			folder := t.TempDir()
			command := asFlicktally("live", "--record", "record.csv", "--final", "final.json", "--jsonl", "--every", "0s", "-")
			command.Dir = folder
			in, err := command.StdinPipe()
			require.NoError(t, err)
			read, out, err := os.Pipe()
			require.NoError(t, err)
			_, _ = unix.FcntlInt(out.Fd(), unix.F_SETPIPE_SZ, 4096)
			command.Stdout = out
			require.NoError(t, command.Start())
			defer command.Process.Kill()
			out.Close()
			if name == "closed" {
				read.Close()
			}
			_, err = io.WriteString(in, "time_us,aux2\n"+rows(0, 1000, 1000))
			require.NoError(t, err)
			for i := range 200 {
				at := 1000 + i*1000
				_, err := io.WriteString(in, rows(at, at+500, 2000)+rows(at+500, at+1000, 1000))
				require.NoError(t, err)
			}
			waitForLines(t, filepath.Join(folder, "record.csv"), 2+100+200*100)
			in.Close()
			final := filepath.Join(folder, "final.json")
			require.Eventually(t, func() bool { _, err := os.Stat(final); return err == nil }, termtest.Patience, 20*time.Millisecond)
			if name == "unread" { // the program waits for whoever reads, now that all is kept
				go io.Copy(io.Discard, read)
			}
			require.NoError(t, command.Wait())
			text, err := os.ReadFile(final)
			require.NoError(t, err)
			require.Equal(t, string(text), replayed(t, folder))
			require.Contains(t, string(text), `"n": 200,`)
		})
	}
}

// Two programs on one record: the second is refused, even with --force, and the
// record of the first stays.
func TestTwoOnOneRecord(t *testing.T) {
	t.Parallel()
	a, write := takeOffWithAFlick(t)
	defer write.Close()
	code, _, said := runIn(a.folder, "live", "--record", "record.csv", "--force", "--plain", "/dev/null")
	require.Equal(t, exitFailed, code)
	require.Contains(t, said, "cannot record into record.csv: another program is writing to it")
	write.Close()
	require.Len(t, a.land(false).Presses, 1)
}

// If a serial device vanishes, live waits for it and reads on when it is back; the
// camera continues. The first row may lack its start.
func TestLiveWaitsForASerialDevice(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "ttyUSB0")
	plug := func() (ours, theirs *os.File) {
		ours, theirs, err := pty.Open()
		require.NoError(t, err)
		_ = os.Remove(path)
		require.NoError(t, os.Symlink(theirs.Name(), path))
		return ours, theirs
	}
	ours, theirs := plug()
	a := takeOff(t, nil, path)
	waitForRaw(t, theirs)
	_, err := ours.WriteString("0,1000\ntime_us,aux2\n" + flickInRows())
	require.NoError(t, err)
	a.until(`"event":"press","segment":1,"n":1,`)
	require.NoError(t, os.Remove(path))
	theirs.Close()
	ours.Close()
	a.until(`"input":"lost".*ttyUSB0 is gone; waiting for it`)
	ours, theirs = plug()
	defer ours.Close()
	defer theirs.Close()
	waitForRaw(t, theirs)
	_, err = ours.WriteString("00,1000\n" + strings.Repeat("\n", 3) + flickInRows())
	require.NoError(t, err)
	a.until(`"event":"press","segment":1,"n":2,.*"state_after":"standby"`)
	require.Len(t, a.land(true).Presses, 2)
}

// eventRecord makes a record of axis 5 as linux/input.h lays it out on this
// machine: a timeval, type EV_ABS = 3, code, value.
func eventRecord(at sim.Micros, value int32) []byte {
	b := make([]byte, unsafe.Sizeof(unix.Timeval{})+8)
	*(*unix.Timeval)(unsafe.Pointer(&b[0])) = unix.NsecToTimeval(int64(at) * 1000)
	rest := b[unsafe.Sizeof(unix.Timeval{}):]
	binary.NativeEndian.PutUint16(rest, 3)
	binary.NativeEndian.PutUint16(rest[2:], 5)
	binary.NativeEndian.PutUint32(rest[4:], uint32(value))
	return b
}
