package device

import (
	"bytes"
	"context"
	"errors"
	"io"
	"math/bits"
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"flicktally/sim"
	"flicktally/sim/joystick"
)

// recordsOf returns a device that reads event records from memory.
func recordsOf(records ...[]byte) *Device {
	return &Device{
		file: io.NopCloser(bytes.NewReader(bytes.Join(records, nil))), decoder: joystick.NewEvents(native, nil), buf: make([]byte, 64*24),
	}
}

// A transmitter is called by its name or, without one, by its file.
func TestTheNameOfATransmitter(t *testing.T) {
	for want, info := range map[string]Info{
		"Heron's sticks": {Path: "/dev/input/event7", Name: "Heron's sticks"},
		"event7":         {Path: "/dev/input/event7"},
	} {
		require.Equal(t, want, (&Transmitter{Device: &Device{Info: info}}).Called())
	}
	require.NotContains(t, (&Transmitter{Device: &Device{Info: Info{Name: "\x1b[31mred"}}}).Called(), "\x1b")
}

// The positions at the start come before the first record.
func TestPositionsComeFirst(t *testing.T) {
	d := recordsOf(event(7, 3, 5, 32767))
	d.initial = []joystick.Move{{At: 1, Control: aux, Value: 1000, Initial: true}}
	moves, err := readAll(t, d)
	require.ErrorIs(t, err, io.EOF)
	require.Equal(t, []joystick.Move{{At: 1, Control: aux, Value: 1000, Initial: true}, {At: 7, Control: aux, Value: 2000}}, moves)
}

// fed collects what Feed posts, with its time.
type fed struct {
	began time.Time
	at    []time.Duration
	what  []any
}

func (f *fed) post(value any) {
	f.at, f.what = append(f.at, time.Since(f.began)), append(f.what, value)
}

// A transmitter that ends is looked for every second, and goes on once its file is back.
func TestATransmitterComesBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "event7")
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(t.Context())
		defer stop()
		time.AfterFunc(3500*time.Millisecond, func() {
			require.NoError(t, os.WriteFile(path, event(9, 3, 5, -32767), 0o600))
		})
		posted := fed{began: time.Now()}
		transmitter := Transmitter{Device: recordsOf(event(7, 3, 5, 32767)), Asked: path}
		transmitter.Feed(ctx, func(value any) {
			posted.post(value)
			if len(posted.what) == 5 {
				stop()
			}
		})
		require.Nil(t, transmitter.Device)
		require.Equal(t, []joystick.Move{{At: 7, Control: aux, Value: 2000}}, posted.what[0].(Moves).Moves)
		require.EqualError(t, posted.what[1].(Gone).Reason, "the transmitter's records have ended")
		require.Equal(t, Back{}, posted.what[2])
		require.Equal(t, []joystick.Move{{At: 9, Control: aux, Value: 1000}}, posted.what[3].(Moves).Moves)
		require.IsType(t, Gone{}, posted.what[4])
		require.Equal(t, []time.Duration{0, 0, 4 * time.Second, 4 * time.Second, 4 * time.Second}, posted.at[:5])
	})
}

// An unplugged transmitter is not replaced by another that takes its place.
func TestAnotherTransmitterDoesNotTakeOver(t *testing.T) {
	path := filepath.Join(t.TempDir(), "event7")
	require.NoError(t, os.WriteFile(path, event(9, 3, 5, -32767), 0o600)) // of a device without a name
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithTimeout(t.Context(), time.Hour)
		defer stop()
		d := &Device{Info: Info{Name: "Heron's sticks"}, file: unplugged{}, decoder: joystick.NewEvents(native, nil), buf: make([]byte, 24)}
		posted := fed{began: time.Now()}
		transmitter := Transmitter{Device: d, Asked: path}
		transmitter.Feed(ctx, posted.post)
		require.Equal(t, []any{Gone{Reason: errUnplugged}}, posted.what)
		require.Equal(t, time.Hour, time.Since(posted.began))
	})
}

// A context that is done ends Feed without a word, as the program ends.
func TestFeedEndsWithItsContext(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	transmitter := Transmitter{Device: recordsOf(event(7, 3, 5, 32767))}
	posted := fed{}
	transmitter.Feed(ctx, func(value any) {
		posted.post(value)
		stop()
	})
	require.Len(t, posted.what, 1)
	require.IsType(t, Moves{}, posted.what[0])
}

// With a named switch, other controls do not count, and the end of the records is an
// error.
func TestAHoldMeterOfANamedSwitch(t *testing.T) {
	at := Now() + sim.Hour
	m := NewHoldMeter(recordsOf(
		event(at, 3, 2, 32767), event(at+10, 3, 5, 32767), event(at+20, 3, 2, -32767), event(at+50, 3, 5, -32767),
	), sim.DefaultRig().Switch)
	m.Use(aux)
	require.Equal(t, aux, m.Control())
	hold, err := m.Measure()
	require.NoError(t, err)
	require.Equal(t, sim.Micros(40), hold)
	require.EqualError(t, m.Find(), "lost the transmitter: EOF")
	require.NoError(t, m.Close())
}

// A file is no game controller, and a device that cannot be opened is only reported if
// there is no other.
func TestOnlyGameControllersAreListed(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "event3"), nil, 0o600))
	all, err := list(folder)
	require.NoError(t, err)
	require.Empty(t, all)
	require.NoError(t, os.Symlink(filepath.Join(folder, "nowhere"), filepath.Join(folder, "js0")))
	_, err = list(folder)
	require.ErrorIs(t, err, os.ErrNotExist)
	require.ErrorContains(t, err, "js0")
}

// A file answers no request of an event device.
func TestRequestsToAFile(t *testing.T) {
	f, err := os.Create(filepath.Join(t.TempDir(), "event3"))
	require.NoError(t, err)
	_, _, err = controlsOf(f)
	require.ErrorIs(t, err, unix.ENOTTY)
	_, err = positions(f, joystick.NewEvents(native, nil), nil, 0)
	require.ErrorIs(t, err, unix.ENOTTY)
	require.ErrorIs(t, (&Device{}).beginEvents(f), unix.ENOTTY)
	require.NoError(t, f.Close())
	require.ErrorContains(t, useMonotonicClock(f), "closed file")
	require.Equal(t, errUnplugged, explain(&os.PathError{Err: unix.ENODEV}))
	other := errors.New("other")
	require.Equal(t, other, explain(other))
}

// A bitmap starts with its lowest bit, and goes on in the next of the kernel's longs.
func TestBitsOfABitmap(t *testing.T) {
	bitmap := []uint{1<<5 | 1, 1 << 3}
	var set []uint16
	for n := range uint16(2 * bits.UintSize) {
		if isSet(bitmap, n) {
			set = append(set, n)
		}
	}
	require.Equal(t, []uint16{0, 5, bits.UintSize + 3}, set)
}
