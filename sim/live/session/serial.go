package session

import (
	"bytes"
	"io"
)

// serial returns an input that reads a serial device at a speed in baud. If the
// device disappears, the input waits for its return.
func serial(path string, baud uint32, opts Options) Input {
	opts.midway = true
	return opts.input(path, firstSeconds, func(s *Session) (link, error) {
		file, serial, err := openSerial(path, baud)
		return &device{path: path, baud: baud, file: file, serial: serial, session: s}, err
	})
}

// device is a serial device.
type device struct {
	path    string
	baud    uint32
	file    io.ReadCloser
	serial  bool // false for a device of another kind, which may end
	torn    bool
	session *Session
	buffer  [4 << 10]byte
}

func (d *device) next() (arrival, error) {
	for {
		n, err := d.file.Read(d.buffer[:])
		if n > 0 {
			a := arrival{data: bytes.Clone(d.buffer[:n]), torn: d.torn}
			d.torn = false
			return a, nil
		}
		if !d.serial {
			return arrival{}, err
		}
		if !d.reopen() {
			return arrival{}, io.EOF
		}
	}
}

// reopen waits for the device to come back; it returns false once the session is
// over.
func (d *device) reopen() bool {
	d.file.Close()
	d.session.setTrouble(d.path + " is gone; waiting for it")
	for d.session.pause() {
		file, serial, err := openSerial(d.path, d.baud)
		if err != nil {
			continue
		}
		d.file, d.serial, d.torn = file, serial, true
		d.session.setTrouble("")
		d.session.announce(d.path + " is back")
		return true
	}
	return false
}

func (d *device) Close() error { return d.file.Close() }
