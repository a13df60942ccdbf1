package main

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer/device"
	"flicktally/trainer/term/termtest"
)

// remote is a pipe in place of a transmitter. It carries event records as the kernel
// lays them out (struct input_event of linux/input.h).
type remote struct {
	t    *testing.T
	pipe *os.File
}

func newRemote(t *testing.T, path string) *remote {
	t.Helper()
	pipe, err := os.OpenFile(path, os.O_RDWR, 0) // a pipe that is written only would wait for its reader
	require.NoError(t, err)
	t.Cleanup(func() { pipe.Close() })
	return &remote{t, pipe}
}

// axis5 moves the axis to an end at a time of the kernel's clock. The record is
// written in two parts.
func (r *remote) axis5(at sim.Micros, pressed bool) {
	r.t.Helper()
	value := int32(-32767)
	if pressed {
		value = 32767
	}
	record := eventRecord(at, value)
	for _, part := range [][]byte{record[:7], record[7:]} {
		_, err := r.pipe.Write(part)
		require.NoError(r.t, err)
		time.Sleep(time.Millisecond)
	}
}

// TestHoldsOfATransmitterAreExact: holds are measured by the kernel's times, to the
// microsecond. The times of the records are in the future, so that a busy machine
// reads them early enough.
func TestHoldsOfATransmitterAreExact(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "records")
	require.NoError(t, syscall.Mkfifo(path, 0o600))
	r := newRemote(t, path)
	p := startPractise(t, "flick", "--no-link", "--device", path, "--switch", "axis 5")
	p.WaitFor("standby", 1)
	want := []sim.Micros{20_000, 81_234, 310_007, 1_000_001}
	down := device.Now() + 5*sim.Second
	for _, hold := range want {
		r.axis5(down, true)
		r.axis5(down+hold, false)
		down += hold + sim.Second
	}
	require.Eventually(t, func() bool {
		drills := p.drills(t)
		return len(drills) == 1 && len(drills[0].Flicks) == len(want)
	}, termtest.Patience, 50*time.Millisecond)

	r.pipe.Close() // as when it is unplugged
	p.WaitFor("the transmitter's records have ended", 1)
	newRemote(t, path)
	p.WaitFor("is back: p resumes", 1) // only the cells that change are written

	p.Type("\x03")
	require.Zero(t, p.WaitForEnd())
	drill := p.drills(t)[0]
	require.Equal(t, "records", drill.Device)
	var holds []sim.Micros
	for _, f := range drill.Flicks {
		holds = append(holds, f.Hold())
	}
	require.Equal(t, want, holds)
}

func TestTheSwitchOfATransmitterIsFound(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "records")
	require.NoError(t, syscall.Mkfifo(path, 0o600))
	r := newRemote(t, path)
	p := startPractise(t, "flick", "--device", path)
	p.WaitFor("there and back", 1)
	for i, pressed := range []bool{false, true, false} {
		r.axis5(device.Now()+sim.Micros(i)*200*sim.Millisecond, pressed)
	}
	p.WaitFor("standby", 1)
	p.Type("\x03")
	require.Zero(t, p.WaitForEnd())
	p.RequireRestored()
}
