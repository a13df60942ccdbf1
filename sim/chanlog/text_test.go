package chanlog

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/klauspost/compress/zstd"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/encoding/unicode/utf32"

	"flicktally/sim/problem"
)

const twoRows = "time_us,aux2\n0,1000\n20,1500\n"

// A file that is not a log is named by its first bytes, with what to do. Programs at
// hand wrote their own; the others are by their descriptions, as in notLogs.
func TestReaderNamesWhatIsNoLog(t *testing.T) {
	for _, test := range []struct {
		name, log, found, hint string
	}{
		{"zip", zipArchive(t), "a zip archive", "unpack it first, and read the log in it; a table of a spreadsheet: save it as CSV"},
		{"empty zip", "PK\x05\x06" + strings.Repeat("\x00", 18), "an empty zip archive", "unpack it first, and read the log in it; a table of a spreadsheet: save it as CSV"},
		{"tar", tarArchive(t), "a tar archive", "unpack it first: tar -x"},
		{"xz", "\xfd7zXZ\x00\x00\x04\xe6\xd6\xb4\x46", "a file compressed with xz", "unpack it first: xz -d"},
		{"zstd", zstandard(t), "a file compressed with zstd", "unpack it first: zstd -d"},
		{"bzip2", "BZh91AY&SY\x7f\x1e", "a file compressed with bzip2", "unpack it first: bzip2 -d"},
		{"gzip in gzip", string(zipped(t, string(zipped(t, twoRows)))), "a file compressed with gzip twice", "unpack it first: gzip -d"},
		{"zip in gzip", string(zipped(t, zipArchive(t))), "a zip archive", "unpack it first, and read the log in it; a table of a spreadsheet: save it as CSV"},
		{"MP4", "\x00\x00\x00\x20ftypisom\x00\x00\x02\x00isomiso2avc1mp41", "a video (MP4 or the like)", "give the flight's log; --clips takes the videos of it"},
		{"PDF", "%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "a PDF document", "convert it to CSV with the program that made it"},
		{"SQLite", "SQLite format 3\x00\x10\x00\x01\x01\x00\x40\x20\x20", "an SQLite database", "convert it to CSV with the program that made it"},
		{"binary", "H\x00\x10\n\x7f\x00", "a byte 0, as in a recording in a binary format", "convert it to CSV with the program that made it"},
		{"UTF-32, little end first", wide(t, utf32.UTF32(utf32.LittleEndian, utf32.UseBOM).NewEncoder().String), "text in UTF-32", "save it as UTF-8"},
		{"UTF-32, big end first", wide(t, utf32.UTF32(utf32.BigEndian, utf32.UseBOM).NewEncoder().String), "text in UTF-32", "save it as UTF-8"},
	} {
		t.Run(test.name, func(t *testing.T) {
			for _, lenient := range []bool{false, true} {
				for _, w := range ways {
					out := read([]byte(test.log), Options{Spec: spec("", "", ""), Lenient: lenient}, w)
					e, text := syntaxError(t, out), problem.Explain(out.err)
					if e.Line != 1 || e.Found != test.found || !strings.HasSuffix(text, "\n  → "+test.hint) || e.Skippable || e.Text != "" {
						t.Errorf("%+v: got %q, %+v", w, text, e)
					}
				}
			}
		})
	}
}

// UTF-16 with its mark is read, and its bytes are counted as UTF-8.
func TestReaderReadsUTF16(t *testing.T) {
	for _, order := range []unicode.Endianness{unicode.LittleEndian, unicode.BigEndian} {
		log := wide(t, unicode.UTF16(order, unicode.UseBOM).NewEncoder().String)
		for _, w := range ways {
			for _, log := range [][]byte{[]byte(log), zipped(t, log)} {
				out := read(log, Options{Spec: spec("", "", "")}, w)
				if out.err != nil || out.rows != "0 1000, 20 1500" || !out.sum.UTF16 {
					t.Errorf("%+v: got %q, error %v", w, out.rows, out.err)
				}
				if got, want := out.sum.accounting(), "UTF-16, as UTF-8 28 bytes: data 2 lines (15 bytes), header 1 line (13 bytes)"; got != want {
					t.Errorf("%+v: got %q, want %q", w, got, want)
				}
			}
		}
	}
	faulty, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String("time_us,aux2\n0,1000\n20,é\n")
	if err != nil {
		t.Fatal(err)
	}
	e := syntaxError(t, read([]byte(faulty), Options{Spec: spec("", "", "")}, plainWay))
	if want := `heron.csv:3:4: found "é" in column "aux2", want a number, nan or nothing`; e.Error() != want {
		t.Errorf("got %s, want %s", e.Error(), want)
	}
}

// In a log whose lines end with carriage returns alone, each line is a row.
func TestReaderReadsCarriageReturns(t *testing.T) {
	for _, w := range ways {
		out := read([]byte("Heron\r"+strings.ReplaceAll(twoRows, "\n", "\r")+"40,x\r60,1000"), Options{Spec: spec("", "", ""), Lenient: true}, w)
		if out.err != nil || out.rows != "0 1000, 20 1500, 60 1000" || out.sum.Skipped.Lines != 1 || out.sum.Preamble.Lines != 1 {
			t.Errorf("%+v: got %q, error %v, %+v", w, out.rows, out.err, out.sum)
		}
	}
}

// A compressed log that is longer than any flight when unpacked is an error.
func TestUnpackedEndsAtItsBound(t *testing.T) {
	text, err := io.ReadAll(&unpacked{r: strings.NewReader(twoRows), left: int64(len(twoRows))})
	if err != nil || string(text) != twoRows {
		t.Errorf("got %q, error %v", text, err)
	}
	if _, err := io.ReadAll(&unpacked{r: strings.NewReader(twoRows), left: int64(len(twoRows)) - 1}); err == nil ||
		err.Error() != "more than 64 GiB when unpacked, which is no log of a flight" {
		t.Errorf("got error %v", err)
	}
}

func wide(t *testing.T, encode func(string) (string, error)) string {
	text, err := encode(twoRows)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func zipArchive(t *testing.T) string {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	file, err := w.Create("heron.csv")
	if err == nil {
		_, err = io.WriteString(file, twoRows)
	}
	if err := errors.Join(err, w.Close()); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func tarArchive(t *testing.T) string {
	var out bytes.Buffer
	w := tar.NewWriter(&out)
	err := w.WriteHeader(&tar.Header{Name: "heron.csv", Mode: 0o644, Size: int64(len(twoRows))})
	if err == nil {
		_, err = io.WriteString(w, twoRows)
	}
	if err := errors.Join(err, w.Close()); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func zstandard(t *testing.T) string {
	w, err := zstd.NewWriter(nil)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	return string(w.EncodeAll([]byte(twoRows), nil))
}
