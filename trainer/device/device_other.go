//go:build !linux && !windows

package device

import (
	"errors"
	"time"

	"flicktally/sim"
)

// errUnsupported says that transmitters cannot be read on this system.
var errUnsupported = errors.New("reading a transmitter on USB works on Linux and Windows only; the keyboard works everywhere")

var began = time.Now()

// Now returns the time since the program began.
func Now() sim.Micros { return sim.Micros(time.Since(began) / time.Microsecond) }

// Open returns errUnsupported.
func Open(string) (*Device, error) { return nil, errUnsupported }

func explain(err error) error { return err }
