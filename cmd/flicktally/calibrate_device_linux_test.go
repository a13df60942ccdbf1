package main

import (
	"encoding/binary"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"flicktally/sim"
	"flicktally/sim/joystick"
	"flicktally/trainer/device"
)

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

// TestHoldMeter: the switch is found by a flick, a flick that was begun before
// the question does not count, and the hold is measured to the kernel's
// microsecond.
func TestHoldMeter(t *testing.T) {
	path := filepath.Join(t.TempDir(), "event7")
	require.NoError(t, unix.Mkfifo(path, 0o600))
	pipe, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	flick := func(at, hold sim.Micros) {
		for _, record := range [][]byte{eventRecord(at, 32767), eventRecord(at+hold, -32767)} {
			_, err := pipe.Write(record)
			require.NoError(t, err)
		}
	}
	_, err = pipe.Write(eventRecord(sim.Second, -32767))
	require.NoError(t, err)
	flick(2*sim.Second, 300*sim.Millisecond)
	d, err := device.Open(path)
	require.NoError(t, err)
	m := newHoldMeter(d, sim.DefaultRig().Switch)
	require.NoError(t, m.find(nil, &talk{err: io.Discard}))
	require.Equal(t, joystick.Control{Kind: joystick.Axis, Number: 5}, m.which)

	flick(3*sim.Second, 90*sim.Millisecond) // of before the question
	flick(device.Now()+sim.Minute, 123456*sim.Microsecond)
	hold, err := m.measure()
	require.NoError(t, err)
	require.Equal(t, 123456*sim.Microsecond, hold)

	require.NoError(t, pipe.Close())
	_, err = m.measure()
	require.ErrorIs(t, err, io.EOF)
	require.NoError(t, m.Close())
}

// TestCalibrateMeasuresWithATransmitter: a transmitter that is asked for makes
// the trials of a list, and its switch may be named. The flick is stamped ahead,
// so that it counts as one after the question.
func TestCalibrateMeasuresWithATransmitter(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	path := filepath.Join(folder, "records")
	require.NoError(t, unix.Mkfifo(path, 0o600))
	r := newRemote(t, path)
	down := device.Now() + sim.Minute
	r.axis5(down-sim.Second, false)
	r.axis5(down, true)
	r.axis5(down+123*sim.Millisecond, false)

	command := asFlicktally("calibrate", "trials.csv", "--device", path, "--switch", "axis 5")
	command.Dir = folder
	command.Stdin = strings.NewReader("\nt\nq\n")
	said, err := command.CombinedOutput()
	require.NoError(t, err, "%s", said)
	require.Contains(t, string(said), "Enter, then flick")
	require.NotContains(t, string(said), "there and back", "the switch was named")
	trials, err := os.ReadFile(filepath.Join(folder, "trials.csv"))
	require.NoError(t, err)
	require.Equal(t, "hold,outcome\n123ms,toggled\n", string(trials))
}
