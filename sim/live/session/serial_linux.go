package session

import (
	"fmt"
	"io"
	"os"

	"golang.org/x/sys/unix"
)

// openSerial opens a serial device at a speed in baud, in raw mode and without
// waiting for a carrier. A device of another kind is opened unchanged; serial is
// then false.
func openSerial(path string, baud uint32) (port io.ReadCloser, serial bool, err error) {
	file, err := os.OpenFile(path, os.O_RDONLY|unix.O_NOCTTY|unix.O_NONBLOCK, 0)
	if err != nil {
		return nil, false, err
	}
	raw, err := file.SyscallConn()
	if err != nil {
		return file, false, nil
	}
	var failed error
	err = raw.Control(func(fd uintptr) { serial, failed = setSerial(int(fd), baud) })
	if err == nil {
		err = failed
	}
	if err != nil {
		file.Close()
		return nil, false, fmt.Errorf("set up %s: %w", path, err)
	}
	return file, serial, nil
}

// setSerial sets 8 bits, no parity, no flow control, no echo and the speed. A
// device that is not a terminal has none of these.
func setSerial(fd int, baud uint32) (serial bool, err error) {
	t, err := unix.IoctlGetTermios(fd, unix.TCGETS2)
	if err == unix.ENOTTY {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	t.Iflag = unix.IGNBRK
	t.Oflag, t.Lflag = 0, 0
	t.Cflag = t.Cflag&^(unix.CSIZE|unix.PARENB|unix.CSTOPB|unix.CRTSCTS|unix.CBAUD) | unix.CS8 | unix.CREAD | unix.CLOCAL | unix.BOTHER
	t.Ispeed, t.Ospeed = baud, baud
	t.Cc[unix.VMIN], t.Cc[unix.VTIME] = 1, 0
	return true, unix.IoctlSetTermios(fd, unix.TCSETS2, t)
}

// isSerialPort reports whether a name is that of a serial port. On this system
// ports are files, and setSerial recognises them.
func isSerialPort(string) bool { return false }
