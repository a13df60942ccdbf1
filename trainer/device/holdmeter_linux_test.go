package device

import (
	"encoding/binary"
	"io"
	"os"
	"path/filepath"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"flicktally/sim"
	"flicktally/sim/joystick"
)

// axis5Record makes a record of axis 5 as linux/input.h lays it out on this
// machine: a timeval, type EV_ABS = 3, code, value.
func axis5Record(at sim.Micros, value int32) []byte {
	b := make([]byte, unsafe.Sizeof(unix.Timeval{})+8)
	*(*unix.Timeval)(unsafe.Pointer(&b[0])) = unix.NsecToTimeval(int64(at) * 1000)
	rest := b[unsafe.Sizeof(unix.Timeval{}):]
	binary.NativeEndian.PutUint16(rest, 3)
	binary.NativeEndian.PutUint16(rest[2:], 5)
	binary.NativeEndian.PutUint32(rest[4:], uint32(value))
	return b
}

// TestHoldMeter: a flick finds the switch, a flick that began before the call does not
// count, and the hold has the kernel's microseconds.
func TestHoldMeter(t *testing.T) {
	path := filepath.Join(t.TempDir(), "event7")
	require.NoError(t, unix.Mkfifo(path, 0o600))
	pipe, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	flick := func(at, hold sim.Micros) {
		for _, record := range [][]byte{axis5Record(at, 32767), axis5Record(at+hold, -32767)} {
			_, err := pipe.Write(record)
			require.NoError(t, err)
		}
	}
	_, err = pipe.Write(axis5Record(sim.Second, -32767))
	require.NoError(t, err)
	flick(2*sim.Second, 300*sim.Millisecond)
	d, err := Open(path)
	require.NoError(t, err)
	m := NewHoldMeter(d, sim.DefaultRig().Switch)
	require.NoError(t, m.Find())
	require.Equal(t, joystick.Control{Kind: joystick.Axis, Number: 5}, m.Control())

	flick(3*sim.Second, 90*sim.Millisecond) // before the call
	flick(Now()+sim.Minute, 123456*sim.Microsecond)
	hold, err := m.Measure()
	require.NoError(t, err)
	require.Equal(t, 123456*sim.Microsecond, hold)

	require.NoError(t, pipe.Close())
	_, err = m.Measure()
	require.ErrorIs(t, err, io.EOF)
	require.NoError(t, m.Close())
}
