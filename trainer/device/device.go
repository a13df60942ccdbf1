// Package device opens a transmitter on USB, which shows itself as a game
// controller, and reads its moves: on Linux from an event device, with the kernel's
// times, or from the older joystick interface, stamped at read; on Windows by looking
// at the system's joystick every millisecond. On other systems [Open] and listAll
// fail.
//
// All times are on the clock of [Now].
package device

import (
	"errors"
	"io"

	"flicktally/sim"
	"flicktally/sim/joystick"
)

// errUnplugged says that the device is gone. It can be opened again once it is
// back.
var errUnplugged = errors.New("the transmitter was unplugged")

// Info is a device that can be opened.
type Info struct{ Path, Name string }

// Device is an open transmitter.
type Device struct {
	Info
	// KernelTimes says that moves carry the kernel's times; else they are
	// stamped when they are read, which adds the time until the program runs.
	KernelTimes bool

	file    io.ReadCloser
	decoder joystick.Decoder
	buf     []byte
	initial []joystick.Move // where the controls stood at the opening, until told
	// state asks where the controls stand; nil where they come by themselves.
	state func(at sim.Micros) ([]joystick.Move, error)
}

// Next waits for the next moves, which are valid until the next call. First it
// returns where all controls stand, as initial moves, and again after moves
// were missed. It returns errUnplugged when the device goes, io.EOF where
// what was opened is a pipe that ends, and os.ErrClosed after Close, which may
// come from another goroutine.
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

// Close ends a Next that waits.
func (d *Device) Close() error { return d.file.Close() }
