package source

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
)

// kinds has a log of every kind, plain and compressed.
func kinds(t *testing.T) map[string]string {
	logs := map[string]string{}
	for kind, log := range map[string]string{
		"csv": table, "vcd": capture, "mavlink": telemetry(t),
		"record": "# flicktally record: channel\n" + strings.Replace(table, "aux2", "channel", 1),
	} {
		logs[kind], logs[kind+" gzip"] = log, zip(t, log)
	}
	return logs
}

// A stream that breaks anywhere ends in its own error, with the name of the log,
// and never as if the log were whole.
func TestAStreamThatBreaksIsNoWholeLog(t *testing.T) {
	gone := errors.New("the card is gone")
	for kind, log := range kinds(t) {
		t.Run(kind, func(t *testing.T) {
			for _, lenient := range []bool{false, true} {
				for _, ahead := range []bool{false, true} {
					for cut := range len(log) + 1 {
						opts := options()
						opts.Lenient, opts.Ahead = lenient, ahead
						err := drained(io.MultiReader(strings.NewReader(log[:cut]), iotest.ErrReader(gone)), opts)
						require.ErrorIs(t, err, gone, "at %d", cut)
						require.Contains(t, err.Error(), "heron")
					}
				}
			}
		})
	}
}

// drained reads a log to its end and returns the error that is not io.EOF.
func drained(r io.Reader, opts Options) error {
	src, err := Open(r, "heron", opts)
	if err != nil {
		return err
	}
	defer src.Close()
	for {
		if _, err := src.Next(); err != nil {
			return err
		}
	}
}

// A stream may return its data in any pieces.
func TestAStreamMayGiveAnyNumberOfBytes(t *testing.T) {
	for kind, log := range kinds(t) {
		t.Run(kind, func(t *testing.T) {
			want, _ := replay(t, strings.NewReader(log))
			for _, way := range []func(io.Reader) io.Reader{
				iotest.OneByteReader, iotest.HalfReader, iotest.DataErrReader,
				func(r io.Reader) io.Reader { return &hesitant{r: r} },
			} {
				got, _ := replay(t, way(strings.NewReader(log)))
				require.Equal(t, want, got)
			}
		})
	}
}

// hesitant returns nothing in every other read.
type hesitant struct {
	r    io.Reader
	rest bool
}

func (h *hesitant) Read(p []byte) (int, error) {
	if h.rest = !h.rest; h.rest {
		return 0, nil
	}
	return h.r.Read(p[:min(len(p), 7)])
}

// A stream that never returns data is given up, except by compress/gzip.
func TestAStreamThatNeverGivesAnythingIsGivenUp(t *testing.T) {
	for kind, log := range kinds(t) {
		if strings.HasSuffix(kind, " gzip") {
			continue
		}
		t.Run(kind, func(t *testing.T) {
			for cut := range len(log) {
				r := io.MultiReader(strings.NewReader(log[:cut]), empty{})
				require.ErrorIs(t, drained(r, options()), io.ErrNoProgress, "at %d", cut)
			}
		})
	}
}

type empty struct{}

func (empty) Read([]byte) (int, error) { return 0, nil }
