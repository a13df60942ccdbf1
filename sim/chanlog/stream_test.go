package chanlog

import (
	"bytes"
	"io"
	"testing"

	"go.uber.org/goleak"

	"flicktally/sim/chanlog/loggen"
)

// A reader of a live pipe returns what has arrived before it waits for more.
func TestReaderDoesNotWaitForMoreThanItNeeds(t *testing.T) {
	in, out := io.Pipe()
	rows := make(chan int)
	r := NewReader(in, "pipe", Options{Spec: spec("", "", ""), Live: true})
	go func() {
		defer close(rows)
		for {
			block, err := r.Next()
			if err != nil {
				return
			}
			rows <- len(block.Samples)
		}
	}()
	for i, line := range []string{"time_us,aux2\n0,1000\n", "20,1500\n", "40,1000\n60,1000\n"} {
		if _, err := out.Write([]byte(line)); err != nil {
			t.Fatal(err)
		}
		if got, want := <-rows, []int{1, 1, 2}[i]; got != want {
			t.Errorf("write %d: got %d rows, want %d", i, got, want)
		}
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	<-rows
}

// All of a big log is read, and no row allocates: ten times the rows take as many
// allocations.
func TestReaderAllocatesNothingPerRow(t *testing.T) {
	for _, columns := range []int{2, 3, 40} {
		small, _ := makeLog(t, loggen.Shape{Columns: columns, Bytes: 1e5})
		large, made := makeLog(t, loggen.Shape{Columns: columns, Bytes: 1e6})
		if sum := read(large, Options{Spec: spec("", "aux2", "")}, plainWay).sum; sum.Rows != made.Rows {
			t.Errorf("%d columns: got %d rows, want %d", columns, sum.Rows, made.Rows)
		}
		count := func(log []byte) float64 {
			return testing.AllocsPerRun(3, func() { drain(t, log) })
		}
		if few, many := count(small), count(large); many > few {
			t.Errorf("%d columns: %v allocations for 1 MB, %v for 100 kB", columns, many, few)
		}
	}
}

func makeLog(tb testing.TB, shape loggen.Shape) ([]byte, loggen.Made) {
	var log bytes.Buffer
	made, err := loggen.Write(&log, shape)
	if err != nil {
		tb.Fatal(err)
	}
	return log.Bytes(), made
}

func drain(tb testing.TB, log []byte) {
	r := NewReader(bytes.NewReader(log), "big.csv", Options{Spec: spec("", "aux2", "")})
	for {
		if _, err := r.Next(); err == io.EOF {
			return
		} else if err != nil {
			tb.Fatal(err)
		}
	}
}

// The memory of a reader does not grow with its input, and stays within the limit
// of the package, whatever the input.
func TestBufferIsBounded(t *testing.T) {
	long := append([]byte("time_us,aux2\n0,1000\n"), bytes.Repeat([]byte("x"), 8<<20)...)
	r := newReader(bytes.NewReader(long), "long.csv", Options{Spec: spec("", "", ""), Lenient: true}, defaultTuning)
	for {
		if _, err := r.Next(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	if most := 2 * (maxWindow + defaultTuning.buffer); len(r.src.buf) > most {
		t.Errorf("the buffer has %d bytes, want at most %d", len(r.src.buf), most)
	}
}

// Reading ahead ends with the log, or when the reader is closed.
func TestReadingAheadEnds(t *testing.T) {
	defer goleak.VerifyNone(t)
	log, made := makeLog(t, loggen.Shape{Columns: 3, Bytes: 3e6})
	opts := Options{Spec: spec("", "aux2", ""), Ahead: true}
	if sum := read(log, opts, way{tuning: tuning{buffer: 1000}, ahead: true}).sum; sum.Rows != made.Rows {
		t.Errorf("got %d rows, want %d", sum.Rows, made.Rows)
	}
	r := newReader(bytes.NewReader(log), "closed.csv", opts, tuning{buffer: 1000})
	if _, err := r.Next(); err != nil {
		t.Fatal(err)
	}
	r.Close()
	r.Close()
}
