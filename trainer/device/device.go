// Package device opens a transmitter on USB, which appears as a game
// controller, and reads its moves. On Linux it reads an event device with the
// kernel's times, or the older joystick interface, stamped when read; on
// Windows it polls the system's joystick every millisecond. On other systems [Open]
// returns an error.
//
// All times are on the clock of [Now].
package device

import (
	"errors"
	"io"

	"flicktally/sim"
	"flicktally/sim/joystick"
)

// errUnplugged says that the device was unplugged.
var errUnplugged = errors.New("the transmitter was unplugged")

// Info is a device that can be opened.
type Info struct{ Path, Name string }

// Device is an open transmitter.
type Device struct {
	Info
	// KernelTimes says that moves carry the kernel's times; otherwise they are
	// stamped when read, which adds the delay until the program runs.
	KernelTimes bool

	file    io.ReadCloser
	decoder joystick.Decoder
	buf     []byte
	initial []joystick.Move // positions of the controls when opened, for the first Next
	// state reads the positions of the controls; nil if the kernel sends them.
	state func(at sim.Micros) ([]joystick.Move, error)
}

// Next waits for the next moves, which are valid until the next call. The first call,
// and the one after missed moves, returns the positions of all controls as initial
// moves. The error is errUnplugged if the device was unplugged, io.EOF at the end of a
// pipe, and os.ErrClosed after Close, which another goroutine may call.
func (d *Device) Next() ([]joystick.Move, error) {
	if moves := d.initial; len(moves) > 0 {
		d.initial = nil
		return moves, nil
	}
	for {
		n, err := d.file.Read(d.buf)
		read := Now()
		moves := d.decoder.Decode(d.buf[:n], read)
		if d.decoder.Missed() && d.state != nil {
			found, err := d.state(read)
			if err != nil {
				return nil, explain(err)
			}
			moves = append(moves, found...)
		}
		if len(moves) > 0 {
			return moves, nil
		}
		if err != nil {
			return nil, explain(err)
		}
	}
}

// Close closes the device. A Next that waits returns.
func (d *Device) Close() error { return d.file.Close() }
