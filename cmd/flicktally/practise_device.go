package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"flicktally/sim/excerpt"
	"flicktally/sim/joystick"
	"flicktally/trainer/device"
	"flicktally/trainer/term"
)

// transmitter is a transmitter on USB that is practised with.
type transmitter struct {
	device  *device.Device
	path    string            // as it was named, "" = the first that is found
	control *joystick.Control // nil: to be found
}

// transmitterFlags are the flags for a transmitter on USB.
type transmitterFlags struct {
	joystick bool
	device   string
	control  string
}

func (f *transmitterFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.BoolVar(&f.joystick, "joystick", false, "flick the switch of a transmitter on USB (Linux)")
	flags.StringVar(&f.device, "device", "", "the transmitter's `path`, where there are several; such as /dev/input/event7")
	flags.StringVar(&f.control, "switch", "", `the transmitter's switch, such as "axis 5" or "button 288", instead of finding it`)
}

// asked tells whether a transmitter is asked for.
func (f *transmitterFlags) asked() bool { return f.joystick || f.device != "" }

// openTransmitter opens the transmitter that the flags ask for; nil for none.
func (f *transmitterFlags) openTransmitter() (*transmitter, error) {
	control, err := controlFlag(f.control)
	if err != nil {
		return nil, err
	}
	if !f.asked() {
		if control != nil {
			return nil, wrongUsage(errors.New("found --switch without a transmitter, want --joystick or --device with it"))
		}
		return nil, nil
	}
	d, err := device.Open(f.device)
	if err != nil {
		return nil, &codedError{exitFailed, fmt.Errorf("cannot open the transmitter: %w", err),
			[]string{"switch it to its USB mode for simulators"}}
	}
	return &transmitter{device: d, path: f.device, control: control}, nil
}

// controlFlag reads the transmitter's switch; nil for none.
func controlFlag(text string) (*joystick.Control, error) {
	if text == "" {
		return nil, nil
	}
	control, err := joystick.ParseControl(text)
	if err != nil {
		return nil, wrongUsage(fmt.Errorf("--switch: %w", err))
	}
	return &control, nil
}

// name names the transmitter for the journal.
func (t *transmitter) name() string {
	if t.device.Name != "" {
		return excerpt.Printable(t.device.Name)
	}
	return excerpt.Printable(filepath.Base(t.device.Path))
}

// lookAgain is how long after an unplugging, and then how often, the transmitter
// is looked for.
const lookAgain = time.Second

// feed is the source of the transmitter's moves. After an unplugging it waits
// for the same transmitter to come back.
func (t *transmitter) feed(post func(value any), done <-chan struct{}) {
	for t.device != nil {
		err := t.forward(post, done)
		select {
		case <-done:
			return
		default:
		}
		if errors.Is(err, io.EOF) {
			err = errors.New("the transmitter's records have ended")
		}
		post(term.DeviceGone{Reason: err})
		t.device = t.reopen(done)
		post(term.DeviceBack{})
	}
}

// forward posts moves until the device is gone or practice is done.
func (t *transmitter) forward(post func(value any), done <-chan struct{}) error {
	d := t.device
	gone := make(chan struct{})
	defer close(gone)
	go func() {
		select {
		case <-done:
		case <-gone:
		}
		d.Close()
	}()
	for {
		moves, err := d.Next()
		if err != nil {
			return err
		}
		post(term.DeviceMoves{Now: device.Now(), Moves: slices.Clone(moves)})
	}
}

// reopen waits for the transmitter; nil once practice is done.
func (t *transmitter) reopen(done <-chan struct{}) *device.Device {
	name := t.device.Name
	for {
		select {
		case <-done:
			return nil
		case <-time.After(lookAgain):
		}
		if d, err := device.Open(t.path); err == nil {
			if d.Name == name {
				return d
			}
			d.Close()
		}
	}
}
