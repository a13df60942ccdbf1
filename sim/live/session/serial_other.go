//go:build !linux && !windows

package session

import (
	"errors"
	"io"
)

// openSerial returns an error: each system sets the speed in another way.
func openSerial(string, uint32) (port io.ReadCloser, serial bool, err error) {
	return nil, false, errors.New("serial devices can be read on Linux and Windows only; elsewhere pipe the device into: flicktally live -")
}

// isSerialPort reports whether a name is that of a serial port. On these
// systems ports are files.
func isSerialPort(string) bool { return false }
