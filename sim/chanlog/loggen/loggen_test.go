package loggen

import (
	"bytes"
	"encoding/csv"
	"errors"
	"slices"
	"testing"
)

// encoding/csv reads as many rows as were made, all of the same width, and
// finds as many flicks.
func TestWriteMakesAWellFormedLog(t *testing.T) {
	for _, columns := range []int{2, 3, 4, 40} {
		var log bytes.Buffer
		made, err := Write(&log, Shape{Columns: columns, Bytes: 3e5, Seed: 7})
		if err != nil {
			t.Fatal(err)
		}
		if made.Bytes != int64(log.Len()) || made.Bytes < 3e5 {
			t.Errorf("%d columns: reported %d bytes, wrote %d", columns, made.Bytes, log.Len())
		}
		records, err := csv.NewReader(&log).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		if len(records)-1 != int(made.Rows) || len(records[0]) != columns {
			t.Errorf("%d columns: got %d rows of %d columns, want %d", columns, len(records)-1, len(records[0]), made.Rows)
		}
		aux := slices.Index(records[0], "aux2")
		flicks := int64(0)
		for i := 2; i < len(records); i++ {
			if records[i][aux] == "2000" && records[i-1][aux] == "1000" {
				flicks++
			}
		}
		if flicks != made.Flicks {
			t.Errorf("%d columns: got %d flicks, reported %d", columns, flicks, made.Flicks)
		}
	}
}

func TestEqualShapesGiveEqualBytes(t *testing.T) {
	write := func(seed uint64) string {
		var log bytes.Buffer
		if _, err := Write(&log, Shape{Columns: 10, Bytes: 1e4, Seed: seed}); err != nil {
			t.Fatal(err)
		}
		return log.String()
	}
	one, again, other := write(1), write(1), write(2)
	if one != again {
		t.Error("the same seed gave other bytes")
	}
	if one == other {
		t.Error("two seeds gave the same bytes")
	}
}

type fullDisk struct{ err error }

func (d fullDisk) Write([]byte) (int, error) { return 0, d.err }

func TestWriteReturnsTheErrorOfTheStream(t *testing.T) {
	full := errors.New("no space left")
	if _, err := Write(fullDisk{full}, Shape{Columns: 2, Bytes: 1e6}); !errors.Is(err, full) {
		t.Errorf("got %v", err)
	}
}
