package source

import (
	"bytes"
	"io"

	"github.com/klauspost/compress/gzip"

	"flicktally/sim/mavlink"
	"flicktally/sim/vcd"
)

// nature is what a log's first bytes say about it.
type nature struct {
	kind   Kind
	gzip   bool
	record *origin // of one of our own records; nil if it is not one
}

// sniff determines the nature of a log from its first bytes. ok is false if it
// needs more; final says that there are no more.
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

// unzipHead decompresses the start of a compressed log as far as it goes, up to
// a size.
func unzipHead(head []byte, most int64) []byte {
	unzip, err := gzip.NewReader(bytes.NewReader(head))
	if err != nil {
		return nil
	}
	plain, _ := io.ReadAll(io.LimitReader(unzip, most)) // it ends early, like head
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
