package mavlink

import "bytes"

// Recognise reports whether a stream is MAVLink: it has one frame with the
// right check sum, or three frames of other messages that make up most of it.
// sure is false if more bytes could change the answer; final says that no more
// will come.
func Recognise(head []byte, final bool) (is, sure bool) {
	const enough = 3
	if !looksBinary(head) {
		return false, len(head) > 0
	}
	frames, framed, pos := 0, 0, 0
	for pos < len(head) {
		f, what := parse(head[pos:], final)
		switch what {
		case valid:
			return true, true
		case foreign:
			frames++
			framed += f.length
			pos += f.length
		case damaged:
			pos++
		case incomplete:
			return false, false
		}
		if frames >= enough && framed > pos/2 {
			return true, true
		}
	}
	return final && frames > 0 && framed > len(head)/2, final
}

// looksBinary reports whether data has a byte that never occurs in UTF-8 text.
func looksBinary(data []byte) bool {
	return bytes.IndexByte(data, 0) >= 0 || bytes.IndexByte(data, magic1) >= 0 || bytes.IndexByte(data, magic2) >= 0
}
