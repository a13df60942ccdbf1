package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"flicktally/sim/joystick"
	"flicktally/sim/problem"
	"flicktally/trainer/device"
)

// transmitterFlags are the flags for a transmitter on USB.
type transmitterFlags struct {
	joystick bool
	device   string
	control  string
}

func (f *transmitterFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.BoolVar(&f.joystick, "joystick", false, "use the switch of a transmitter on USB (Linux, Windows)")
	flags.StringVar(&f.device, "device", "", "the `path` of the transmitter if there are several, such as /dev/input/event7; on Windows its number, from 1")
	flags.StringVar(&f.control, "switch", "", `the switch of the transmitter, such as "axis 5" or "button 288" (default: the one that you flick)`)
}

// asked reports whether a transmitter is requested.
func (f *transmitterFlags) asked() bool { return f.joystick || f.device != "" }

// openTransmitter opens the transmitter named by the flags; nil for none.
func (f *transmitterFlags) openTransmitter() (*device.Transmitter, error) {
	control, err := controlFlag(f.control)
	if err != nil {
		return nil, err
	}
	if !f.asked() {
		if control != nil {
			return nil, problem.WrongUsage(errors.New("found --switch without a transmitter, want --joystick or --device as well"))
		}
		return nil, nil
	}
	d, err := device.Open(f.device)
	if err != nil {
		return nil, problem.Hinted(fmt.Errorf("cannot open the transmitter: %w", err),
			"switch it to its USB mode for simulators")
	}
	return &device.Transmitter{Device: d, Asked: f.device, Control: control}, nil
}

// controlFlag reads the transmitter's switch; nil for none.
func controlFlag(text string) (*joystick.Control, error) {
	if text == "" {
		return nil, nil
	}
	control, err := joystick.ParseControl(text)
	if err != nil {
		return nil, problem.WrongUsage(fmt.Errorf("--switch: %w", err))
	}
	return &control, nil
}
