package source

import (
	"bytes"
	"compress/gzip"
	"io"

	"flicktally/sim/mavlink"
	"flicktally/sim/vcd"
)

// sniff tells the kind of a log from its first bytes. Unless they are final it
// may ask for more by not being ok.
func sniff(head []byte, final bool) (kind Kind, zipped, ok bool) {
	gzipMark := []byte{0x1f, 0x8b}
	if !bytes.HasPrefix(head, gzipMark) {
		if bytes.HasPrefix(gzipMark, head) && !final {
			return "", false, false
		}
		kind, ok = sniffPlain(head, final)
		return kind, false, ok
	}
	kind, ok = sniffPlain(unzipHead(head), final)
	return kind, true, ok
}

// unzipHead decompresses as much of a compressed beginning as there is.
func unzipHead(head []byte) []byte {
	unzip, err := gzip.NewReader(bytes.NewReader(head))
	if err != nil {
		return nil
	}
	plain, _ := io.ReadAll(io.LimitReader(unzip, headSize)) // it breaks off where head does
	return plain
}

func sniffPlain(head []byte, final bool) (kind Kind, ok bool) {
	if is, sure := vcd.Recognise(head); is {
		return VCD, true
	} else if !sure && !final {
		return "", false
	}
	if is, sure := mavlink.Recognise(head, final); is {
		return MAVLink, true
	} else if !sure && !final {
		return "", false
	}
	return CSV, true
}
