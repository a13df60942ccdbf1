//go:build !linux

package session

import (
	"errors"
	"os"
)

// openSerial refuses: how a speed is set differs from system to system.
func openSerial(string, uint32) (*os.File, error) {
	return nil, errors.New("serial devices are read on Linux only; elsewhere pipe one into: flicktally live -")
}
