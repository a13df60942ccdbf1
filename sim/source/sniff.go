package source

import (
	"bytes"
	"io"

	"github.com/klauspost/compress/gzip"

	"flicktally/sim/mavlink"
	"flicktally/sim/vcd"
)

// nature is the kind of a log, as its first bytes show it.
type nature struct {
	kind   Kind
	gzip   bool
	record *origin // of a record; nil for any other log
}

// sniff returns the nature of a log, from its first bytes. ok is false if it needs
// more bytes; final says that there are none.
func sniff(head []byte, final bool) (n nature, ok bool) {
	gzipMark := []byte{0x1f, 0x8b}
	if !bytes.HasPrefix(head, gzipMark) {
		if bytes.HasPrefix(gzipMark, head) && !final {
			return nature{}, false
		}
		return sniffPlain(head, final)
	}
	n, ok = sniffPlain(unzipHead(head, headSize), final)
	n.gzip = true
	return n, ok
}

// unzipHead decompresses the start of a compressed log, up to a number of bytes.
func unzipHead(head []byte, most int64) []byte {
	unzip, err := gzip.NewReader(bytes.NewReader(head))
	if err != nil {
		return nil
	}
	plain, _ := io.ReadAll(io.LimitReader(unzip, most)) // head ends early
	return plain
}

func sniffPlain(head []byte, final bool) (n nature, ok bool) {
	if record, sure := recogniseRecord(head); record != nil {
		return nature{kind: CSV, record: record}, true
	} else if !sure && !final {
		return nature{}, false
	}
	if is, sure := vcd.Recognise(head); is {
		return nature{kind: VCD}, true
	} else if !sure && !final {
		return nature{}, false
	}
	if is, sure := mavlink.Recognise(head, final); is {
		return nature{kind: MAVLink}, true
	} else if !sure && !final {
		return nature{}, false
	}
	return nature{kind: CSV}, true
}

// sniffCSV distinguishes a record from other CSV.
func sniffCSV(head []byte, final bool) (n nature, ok bool) {
	record, sure := recogniseRecord(head)
	return nature{kind: CSV, record: record}, sure || final
}
