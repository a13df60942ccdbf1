package device

import (
	"context"
	"errors"
	"io"
	"path/filepath"
	"slices"
	"time"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/joystick"
)

// Transmitter is a device that may be unplugged and plugged in again.
type Transmitter struct {
	*Device
	Asked   string            // the requested path; "" = the first found
	Control *joystick.Control // the switch; nil = yet to be found
}

// What [Transmitter.Feed] posts.
type (
	// Moves are moves of its controls. Now is the current time of [Now].
	Moves struct {
		Now   sim.Micros
		Moves []joystick.Move
	}
	// Gone says that the transmitter was unplugged, or why it cannot be read.
	Gone struct{ Reason error }
	// Back says that the transmitter is back.
	Back struct{}
)

// Called returns the transmitter's name for journals and screens.
func (t *Transmitter) Called() string {
	if t.Name != "" {
		return excerpt.Printable(t.Name)
	}
	return excerpt.Printable(filepath.Base(t.Path))
}

// lookAgain is how often an unplugged transmitter is looked for.
const lookAgain = time.Second

// Feed posts the transmitter's [Moves], [Gone] and [Back] until the context is
// done. After an unplugging it waits for the same transmitter to come back.
func (t *Transmitter) Feed(ctx context.Context, post func(value any)) {
	for t.Device != nil {
		err := t.forward(ctx, post)
		if ctx.Err() != nil {
			return
		}
		if errors.Is(err, io.EOF) {
			err = errors.New("the transmitter's records have ended")
		}
		post(Gone{Reason: err})
		if t.Device = t.reopen(ctx); t.Device != nil {
			post(Back{})
		}
	}
}

// forward posts moves until the device is gone or the context is done, and
// closes the device.
func (t *Transmitter) forward(ctx context.Context, post func(value any)) error {
	d := t.Device
	defer d.Close()
	stop := context.AfterFunc(ctx, func() { d.Close() }) // ends a waiting Next
	defer stop()
	for {
		moves, err := d.Next()
		if err != nil {
			return err
		}
		post(Moves{Now: Now(), Moves: slices.Clone(moves)})
	}
}

// reopen waits for the transmitter; nil once the context is done.
func (t *Transmitter) reopen(ctx context.Context) *Device {
	name := t.Name
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-time.After(lookAgain):
		}
		if d, err := Open(t.Asked); err == nil {
			if d.Name == name {
				return d
			}
			d.Close()
		}
	}
}
