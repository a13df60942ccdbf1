package bmff

import (
	"encoding/binary"
	"errors"
	"io"
)

// box is a box of the file (§4.2).
type box struct {
	kind      string
	body, end int64 // offsets in the file
	cut       bool  // the file or the enclosing box ends before it does
}

// file is read box by box.
type file struct {
	r    io.ReaderAt
	left int // how many more boxes and samples may be read
}

// maxReads is the most boxes and samples of a file: a day in fragments of a tenth
// of a second has fewer.
const maxReads = 1 << 22

var errTooMany = errors.New("found millions of boxes, want a video file")

// next reads the box at an offset, within an enclosing box that ends at end. It
// returns io.EOF if there is no box.
func (f *file) next(at, end int64) (box, error) {
	if f.left--; f.left < 0 {
		return box{}, errTooMany
	}
	const short, long = 8, 16
	head, err := f.read(at, long, end)
	if err != nil {
		return box{}, err
	}
	if len(head) < short || !isKind(head[4:8]) {
		return box{}, io.EOF
	}
	b := box{kind: string(head[4:8]), body: at + short}
	length := uint64(binary.BigEndian.Uint32(head))
	if length == 1 {
		if len(head) < long {
			return box{}, io.EOF
		}
		b.body, length = at+long, binary.BigEndian.Uint64(head[8:])
	} else if length == 0 {
		length = uint64(end - at)
	}
	switch {
	case length < uint64(b.body-at):
		return box{}, io.EOF
	case length > uint64(end-at):
		b.end, b.cut = end, true
	default:
		b.end = at + int64(length)
	}
	return b, nil
}

// isKind reports whether four bytes can be the kind of a box: letters of ISO
// 8859-1, of which only © is in use beyond ASCII.
func isKind(letters []byte) bool {
	for _, c := range letters {
		if (c < ' ' || c > '~') && c != 0xA9 {
			return false
		}
	}
	return true
}

// each calls a function for every box between two offsets. It stops at what is
// not a box.
func (f *file) each(at, end int64, look func(box) error) error {
	for at < end {
		b, err := f.next(at, end)
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		if err := look(b); err != nil {
			return err
		}
		at = b.end
	}
	return nil
}

// inside calls a function for every box in the body of another.
func (f *file) inside(b box, look func(box) error) error { return f.each(b.body, b.end, look) }

// read returns n bytes from an offset on; fewer at the given end.
func (f *file) read(at, n, end int64) ([]byte, error) {
	data := make([]byte, max(0, min(n, end-at)))
	got, err := f.r.ReadAt(data, at)
	if err == io.EOF {
		err = nil
	}
	return data[:got], err
}

// fullBox reads the version, the flags and up to n bytes after them.
func (f *file) fullBox(b box, n int64) (version byte, flags uint32, fields fields, err error) {
	data, err := f.read(b.body, 4+n, b.end)
	if err != nil || len(data) < 4 {
		return 0, 0, nil, err
	}
	return data[0], binary.BigEndian.Uint32(data) & 0xFFFFFF, data[4:], nil
}

// fields has the fields of a box that are not yet read. Beyond the end of a short
// box they are 0.
type fields []byte

func (f *fields) skip(n int) { *f = (*f)[min(n, len(*f)):] }

func (f *fields) uint32() uint32 {
	if len(*f) < 4 {
		*f = nil
		return 0
	}
	v := binary.BigEndian.Uint32(*f)
	f.skip(4)
	return v
}

func (f *fields) uint64() uint64 {
	high := uint64(f.uint32())
	return high<<32 | uint64(f.uint32())
}

// sized reads a field that has 32 bits in version 0 and 64 in version 1.
func (f *fields) sized(version byte) uint64 {
	if version == 0 {
		return uint64(f.uint32())
	}
	return f.uint64()
}

// duration reads a duration, where all ones mean unknown (§8.2.2).
func (f *fields) duration(version byte) uint64 {
	d := f.sized(version)
	if version == 0 && d == 1<<32-1 || d == 1<<64-1 {
		return 0
	}
	return d
}
