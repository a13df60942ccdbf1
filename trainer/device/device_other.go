//go:build !linux && !windows

package device

import (
	"time"

	"flicktally/sim"
)

var began = time.Now()

// Now returns the time since the program began.
func Now() sim.Micros { return sim.Micros(time.Since(began) / time.Microsecond) }

// List returns ErrUnsupported.
func List() ([]Info, error) { return nil, ErrUnsupported }

// Open returns ErrUnsupported.
func Open(string) (*Device, error) { return nil, ErrUnsupported }

func explain(err error) error { return err }
