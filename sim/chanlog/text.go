package chanlog

import (
	"bufio"
	"bytes"
	"io"

	"golang.org/x/text/encoding/unicode"

	"flicktally/sim/excerpt"
	"flicktally/sim/problem"
)

// headSize is how much of a log is examined to detect its encoding.
const headSize = 64 << 10

// asText returns the text of a log in UTF-8, with LF at the line ends, and
// whether it was UTF-16. Input that is not text is a [SyntaxError] without a
// file name.
func asText(r *bufio.Reader, unzipped bool) (text io.Reader, utf16 bool, err error) {
	head := firstLineOf(r)
	if err := refuse(head, unzipped); err != nil {
		return nil, false, err
	}
	if utf16 = bytes.HasPrefix(head, []byte("\xff\xfe")) || bytes.HasPrefix(head, []byte("\xfe\xff")); utf16 {
		decoder := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder()
		r = bufio.NewReaderSize(decoder.Reader(r), headSize)
		head = firstLineOf(r)
	}
	if bytes.IndexByte(head, '\n') < 0 && bytes.IndexByte(bytes.TrimRight(head, "\r"), '\r') >= 0 {
		return &returns{r}, utf16, nil
	}
	return r, utf16, nil
}

// firstLineOf returns what is buffered once the first line is complete, the
// buffer is full, or the stream has ended.
func firstLineOf(r *bufio.Reader) []byte {
	for n := 1; ; n = r.Buffered() + 1 {
		_, err := r.Peek(min(n, r.Size()))
		head, _ := r.Peek(r.Buffered())
		if err != nil || len(head) == r.Size() || bytes.IndexByte(head, '\n') >= 0 {
			return head
		}
	}
}

// returns turns carriage returns into line feeds.
type returns struct{ r io.Reader }

func (c *returns) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	for i, b := range p[:n] {
		if b == '\r' {
			p[i] = '\n'
		}
	}
	return n, err
}

// convertIt says what to do with a log that is not text.
const convertIt = "convert it to CSV with the program that made it"

const (
	unpackIt = "unpack it first, and read the log in it; a table of a spreadsheet: save it as CSV"
	notALog  = "give the flight's log; --clips takes the videos of it"
)

// notLogs lists the first bytes of files that are not logs. Sources: PKWARE
// APPNOTE 4.3.7 and 4.3.16, RFC 8878 3.1.1 (Zstandard), RFC 1952 2.3.1 (gzip),
// ISO/IEC 14496-12 4.3, ISO 32000-1 7.5.2 (PDF), the file format of SQLite 1.3,
// the descriptions of the xz (2.1.1.1) and bzip2 formats; from memory.
var notLogs = []struct {
	at               int
	mark, name, hint string
}{
	{0, "PK\x03\x04", "a zip archive", unpackIt},
	{0, "PK\x05\x06", "an empty zip archive", unpackIt},
	{0, "\xfd7zXZ\x00", "a file compressed with xz", "unpack it first: xz -d"},
	{0, "\x28\xb5\x2f\xfd", "a file compressed with zstd", "unpack it first: zstd -d"},
	{4, "1AY&SY", "a file compressed with bzip2", "unpack it first: bzip2 -d"},
	{257, "ustar", "a tar archive", "unpack it first: tar -x"},
	{4, "ftyp", "a video (MP4 or the like)", notALog},
	{0, "%PDF-", "a PDF document", convertIt},
	{0, "SQLite format 3\x00", "an SQLite database", convertIt},
	{0, "\xff\xfe\x00\x00", "text in UTF-32", "save it as UTF-8"},
	{0, "\x00\x00\xfe\xff", "text in UTF-32", "save it as UTF-8"},
}

// refuse recognises a file that is not a log by its first bytes. unzipped says
// that the file was compressed with gzip.
func refuse(head []byte, unzipped bool) error {
	if unzipped && bytes.HasPrefix(head, gzipMark) {
		return notText("a file compressed with gzip twice", "unpack it first: gzip -d")
	}
	for _, kind := range notLogs {
		if len(head) > kind.at && bytes.HasPrefix(head[kind.at:], []byte(kind.mark)) {
			return notText(kind.name, kind.hint)
		}
	}
	return nil
}

func notText(found, hint string) error {
	e := excerpt.SyntaxError{Line: 1, Column: 1, Found: found, Want: "a log in text"}
	return problem.Hinted(&SyntaxError{SyntaxError: e}, hint)
}
