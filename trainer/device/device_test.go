//go:build linux

package device

import (
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
	"golang.org/x/term"

	"flicktally/sim"
	"flicktally/sim/joystick"
	"flicktally/sim/problem"
)

// event makes an event record as linux/input.h lays it out.
func event(at sim.Micros, kind, code uint16, value int32) []byte {
	b := make([]byte, native.Size())
	if native.LongSize == 8 {
		native.Order.PutUint64(b, uint64(at/sim.Second))
		native.Order.PutUint64(b[8:], uint64(at%sim.Second))
	} else {
		native.Order.PutUint32(b, uint32(at/sim.Second))
		native.Order.PutUint32(b[4:], uint32(at%sim.Second))
	}
	rest := b[2*native.LongSize:]
	native.Order.PutUint16(rest, kind)
	native.Order.PutUint16(rest[2:], code)
	native.Order.PutUint32(rest[4:], uint32(value))
	return b
}

func fifo(t *testing.T, name string) string {
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, unix.Mkfifo(path, 0o600))
	return path
}

// write feeds a FIFO in pieces from another goroutine.
func write(t *testing.T, path string, pieces ...[]byte) {
	go func() {
		f, err := os.OpenFile(path, os.O_WRONLY, 0)
		if err != nil {
			t.Error(err)
			return
		}
		defer f.Close()
		for _, p := range pieces {
			f.Write(p)
			time.Sleep(2 * time.Millisecond)
		}
	}()
}

func readAll(t *testing.T, d *Device) (all []joystick.Move, err error) {
	for {
		moves, err := d.Next()
		if err != nil {
			return all, err
		}
		require.NotEmpty(t, moves)
		all = append(all, moves...)
	}
}

var aux = joystick.Control{Kind: joystick.Axis, Number: 5}

// Moves from event records have the kernel's times, to the microsecond, whenever and
// in whatever pieces the bytes arrive.
func TestEventRecordsThroughAPipe(t *testing.T) {
	path := fifo(t, "event7")
	down, up := event(5_000_000, 3, 5, 32767), event(5_280_000, 3, 5, -32767)
	report := event(5_000_000, 0, 0, 0)
	write(t, path, down[:7], down[7:], report, up[:23], append(up[23:], report[:9]...))
	d, err := Open(path)
	require.NoError(t, err)
	defer d.Close()
	require.True(t, d.KernelTimes)
	moves, err := readAll(t, d)
	require.ErrorIs(t, err, io.EOF)
	require.Equal(t, []joystick.Move{{At: 5_000_000, Control: aux, Value: 2000}, {At: 5_280_000, Control: aux, Value: 1000}}, moves)
	require.Equal(t, 9, d.decoder.Torn())
}

// Joystick records are stamped when read: between the time before they were written
// and the time after.
func TestJoystickRecordsThroughAPipe(t *testing.T) {
	path := fifo(t, "js0")
	began := Now()
	write(t, path, []byte{0, 0, 0, 0, 0x01, 0x80, 0x82, 5}, []byte{9, 0, 0, 0, 0xff}, []byte{0x7f, 2, 5})
	d, err := Open(path)
	require.NoError(t, err)
	defer d.Close()
	require.False(t, d.KernelTimes)
	moves, err := readAll(t, d)
	require.ErrorIs(t, err, io.EOF)
	require.Len(t, moves, 2)
	require.True(t, moves[0].Initial)
	require.Equal(t, sim.PulseWidth(1000), moves[0].Value)
	require.False(t, moves[1].Initial)
	require.Equal(t, sim.PulseWidth(2000), moves[1].Value)
	require.True(t, began <= moves[0].At && moves[0].At <= moves[1].At && moves[1].At <= Now())
}

func TestEventRecordsThroughATerminal(t *testing.T) {
	ours, theirs, err := pty.Open()
	require.NoError(t, err)
	defer ours.Close()
	_, err = term.MakeRaw(int(theirs.Fd()))
	require.NoError(t, err)
	d, err := Open(theirs.Name())
	require.NoError(t, err)
	defer d.Close()
	_, err = ours.Write(event(7, 3, 5, 32767))
	require.NoError(t, err)
	moves, err := d.Next()
	require.NoError(t, err)
	require.Equal(t, []joystick.Move{{At: 7, Control: aux, Value: 2000}}, moves)
}

func TestCloseEndsNext(t *testing.T) {
	path := fifo(t, "event0")
	held, err := os.OpenFile(path, os.O_RDWR, 0) // so that the pipe does not end
	require.NoError(t, err)
	defer held.Close()
	d, err := Open(path)
	require.NoError(t, err)
	ended := make(chan error)
	go func() {
		_, err := d.Next()
		ended <- err
	}()
	time.Sleep(10 * time.Millisecond)
	require.NoError(t, d.Close())
	require.ErrorIs(t, <-ended, os.ErrClosed)
}

// unplugged is a device that was unplugged.
type unplugged struct{}

func (unplugged) Read([]byte) (int, error) {
	return 0, &os.PathError{Op: "read", Path: "event7", Err: unix.ENODEV}
}
func (unplugged) Close() error { return nil }

func TestUnplugged(t *testing.T) {
	d := &Device{file: unplugged{}, decoder: joystick.NewEvents(native, nil), buf: make([]byte, 24)}
	_, err := d.Next()
	require.Equal(t, errUnplugged, err)
}

// After dropped records the positions are read from the device.
func TestNextAsksAfterDroppedRecords(t *testing.T) {
	path := fifo(t, "event0")
	write(t, path, event(1, 0, 3, 0), event(2, 3, 5, 9), event(3, 0, 0, 0))
	d, err := Open(path)
	require.NoError(t, err)
	defer d.Close()
	found := joystick.Move{At: 4, Control: aux, Value: 1000, Initial: true}
	d.state = func(sim.Micros) ([]joystick.Move, error) { return []joystick.Move{found}, nil }
	moves, err := d.Next()
	require.NoError(t, err)
	require.Equal(t, []joystick.Move{found}, moves)

	d.state = func(sim.Micros) ([]joystick.Move, error) { return nil, unix.ENODEV }
	path = fifo(t, "event1")
	write(t, path, event(1, 0, 3, 0), event(3, 0, 0, 0))
	d2, err := Open(path)
	require.NoError(t, err)
	defer d2.Close()
	d2.state = d.state
	_, err = d2.Next()
	require.Equal(t, errUnplugged, err)
}

func TestOpenErrors(t *testing.T) {
	_, err := Open(filepath.Join(t.TempDir(), "event99"))
	require.ErrorIs(t, err, os.ErrNotExist)
	require.Equal(t, "open /dev/input/event3: permission denied\n  → the group that owns it may read it: see ls -l /dev/input/event3",
		problem.Explain(explainOpen("/dev/input/event3", &os.PathError{Op: "open", Path: "/dev/input/event3", Err: unix.EACCES})))
	all, err := list(t.TempDir())
	require.NoError(t, err)
	require.Empty(t, all)
}

// The requests, as the C compiler gives them on x86-64 and arm64 from
// linux/input.h and linux/joystick.h.
func TestRequests(t *testing.T) {
	require.Equal(t, uintptr(0x80044501), eventVersion)                   // EVIOCGVERSION
	require.Equal(t, uintptr(0x81004506), eventName)                      // EVIOCGNAME(256)
	require.Equal(t, uintptr(0x80604518), eventKeyState)                  // EVIOCGKEY(96)
	require.Equal(t, uintptr(0x400445a0), eventClock)                     // EVIOCSCLOCKID
	require.Equal(t, uintptr(0x80184540), eventAxis(0))                   // EVIOCGABS(ABS_X)
	require.Equal(t, uintptr(0x80084523), eventBits(typeAbs, absCount/8)) // EVIOCGBIT(EV_ABS, 8)
	require.Equal(t, uintptr(0x80604521), eventBits(typeKey, keyCount/8)) // EVIOCGBIT(EV_KEY, 96)
	require.Equal(t, uintptr(0x80046a01), joystickVersion)
	require.Equal(t, uintptr(0x81006a13), joystickName) // JSIOCGNAME(256)
}
