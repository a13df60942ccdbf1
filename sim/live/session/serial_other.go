//go:build !linux && !windows

package session

import (
	"errors"
	"io"
)

// openSerial refuses: how a speed is set differs from system to system.
func openSerial(string, uint32) (port io.ReadCloser, serial bool, err error) {
	return nil, false, errors.New("serial devices are read on Linux and Windows only; elsewhere pipe one into: flicktally live -")
}

// isSerialPort reports whether a name is that of a serial port. On these
// systems ports are files.
func isSerialPort(string) bool { return false }
