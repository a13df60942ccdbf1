package term

import (
	"encoding/binary"
	"fmt"
	"unicode/utf16"
)

// A Windows console delivers its input as records (INPUT_RECORD, wincon.h) of keys
// going down and up, pointer moves and changes of size. This file rewrites them as
// the bytes that a terminal would send. Every version of Windows reports releases.

// consoleRecord is INPUT_RECORD.
type consoleRecord struct {
	kind uint16
	_    uint16
	data [16]byte
}

// Kinds of records, and bits of pointer events.
const (
	consoleKey     = 0x01
	consolePointer = 0x02
	consoleSize    = 0x04

	pointerMoved = 1
	pointerWheel = 4
)

func (r *consoleRecord) short(at int) uint16 { return binary.LittleEndian.Uint16(r.data[at:]) }
func (r *consoleRecord) long(at int) uint32  { return binary.LittleEndian.Uint32(r.data[at:]) }

// consoleReader converts records to bytes.
type consoleReader struct {
	high    rune   // the first half of a surrogate pair
	buttons uint32 // pointer buttons that are down
	// left and top are the position of the window in the scroll buffer.
	left, top int
}

func (c *consoleReader) append(to []byte, r *consoleRecord) []byte {
	switch r.kind {
	case consoleKey:
		return c.key(to, r)
	case consolePointer:
		return c.pointer(to, r)
	}
	return to
}

// key appends a key (KEY_EVENT_RECORD) in the console's form, or as text if it was
// pasted or is not ASCII.
func (c *consoleReader) key(to []byte, r *consoleRecord) []byte {
	down, repeats, key, scan := r.long(0) != 0, r.short(4), r.short(6), r.short(8)
	character, state := rune(r.short(10)), r.long(12)
	switch {
	case key != 0 && character < 0x80:
		return fmt.Appendf(to, "\x1b[%d;%d;%d;%d;%d;%d_", key, scan, character, r.long(0), state, repeats)
	case !down || character == 0:
		return to
	case utf16.IsSurrogate(character) && character < 0xdc00:
		c.high = character
		return to
	case utf16.IsSurrogate(character):
		character = utf16.DecodeRune(c.high, character)
	}
	return append(to, string(character)...)
}

// pointer appends a pointer event (MOUSE_EVENT_RECORD) of the first button or the
// wheel, in the form of a terminal's mode 1006.
func (c *consoleReader) pointer(to []byte, r *consoleRecord) []byte {
	x, y := int(int16(r.short(0)))-c.left+1, int(int16(r.short(2)))-c.top+1
	buttons, event := r.long(4), r.long(12)
	was := c.buttons&1 != 0
	c.buttons = buttons
	is := buttons&1 != 0
	code, final := 0, 'M'
	switch {
	case event == pointerWheel && int32(buttons) > 0:
		code, c.buttons = 64, 0
	case event == pointerWheel:
		code, c.buttons = 65, 0
	case event == pointerMoved && is:
		code = 32
	case was && !is:
		final = 'm'
	case was == is:
		return to
	}
	return fmt.Appendf(to, "\x1b[<%d;%d;%d%c", code, x, y, final)
}
