//go:build !linux

package session

import (
	"errors"
	"os"
)

// openSerial refuses: how a speed is set differs from system to system.
func openSerial(string, uint32) (file *os.File, serial bool, err error) {
	return nil, false, errors.New("serial devices are read on Linux only; elsewhere pipe one into: flicktally live -")
}
