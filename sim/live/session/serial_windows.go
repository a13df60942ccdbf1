package session

import (
	"io"
	"os"
	"regexp"
	"strings"
	"unsafe"

	"golang.org/x/sys/windows"
)

// comPort is a serial port. Its reads time out regularly, so that a closed port is
// noticed.
type comPort struct{ *os.File }

func (p comPort) Read(b []byte) (int, error) {
	for {
		n, err := p.File.Read(b)
		if n > 0 || err != nil && err != io.EOF {
			return n, err
		}
	}
}

// Bits of DCB.Flags, winbase.h.
const (
	dcbBinary = 1 << 0
	dcbParity = 1 << 1
	dcbFlow   = 1<<2 | 1<<3 | 1<<6 | 1<<8 | 1<<9 // by lines and by characters
)

// openSerial opens a serial port such as COM3 at a speed in baud, with 8 bits, no
// parity and no flow control.
func openSerial(path string, baud uint32) (port io.ReadCloser, serial bool, err error) {
	name := path
	if !strings.HasPrefix(name, `\\.\`) {
		name = `\\.\` + name // the only form for COM10 and above
	}
	wide, err := windows.UTF16PtrFromString(name)
	if err != nil {
		return nil, false, err
	}
	handle, err := windows.CreateFile(wide, windows.GENERIC_READ, 0, nil, windows.OPEN_EXISTING, 0, 0)
	if err != nil {
		return nil, false, &os.PathError{Op: "open", Path: path, Err: err}
	}
	if err := setSerial(handle, baud); err != nil {
		windows.CloseHandle(handle)
		return nil, false, &os.PathError{Op: "set up", Path: path, Err: err}
	}
	return comPort{os.NewFile(uintptr(handle), path)}, true, nil
}

func setSerial(handle windows.Handle, baud uint32) error {
	state := windows.DCB{}
	state.DCBlength = uint32(unsafe.Sizeof(state))
	if err := windows.GetCommState(handle, &state); err != nil {
		return err
	}
	state.BaudRate, state.ByteSize, state.Parity, state.StopBits = baud, 8, windows.NOPARITY, windows.ONESTOPBIT
	state.Flags = state.Flags&^(dcbParity|dcbFlow) | dcbBinary
	if err := windows.SetCommState(handle, &state); err != nil {
		return err
	}
	// A read returns the first bytes, or none after 200 ms.
	const ever = 1<<32 - 1
	return windows.SetCommTimeouts(handle, &windows.CommTimeouts{
		ReadIntervalTimeout: ever, ReadTotalTimeoutMultiplier: ever, ReadTotalTimeoutConstant: 200,
	})
}

// isSerialPort reports whether a name is that of a serial port.
func isSerialPort(name string) bool {
	return serialPort.MatchString(strings.TrimPrefix(name, `\\.\`))
}

var serialPort = regexp.MustCompile(`(?i)^COM[1-9][0-9]*$`)
