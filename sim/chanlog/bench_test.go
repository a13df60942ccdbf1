package chanlog

import (
	"bytes"
	"encoding/csv"
	"io"
	"slices"
	"strconv"
	"testing"

	"flicktally/sim"
	"flicktally/sim/chanlog/loggen"
)

// The benchmarks count the presses of a log in memory, on which both readers must
// agree.

var benchShapes = []struct {
	name  string
	shape loggen.Shape
}{
	{"40columns", loggen.Shape{Columns: 40, Bytes: 8e6, Seed: 1}},
	{"2columns", loggen.Shape{Columns: 2, Bytes: 8e6, Seed: 1}},
}

func BenchmarkReader(b *testing.B) { benchmarkReader(b, sim.Thinning{}) }

func BenchmarkReaderThinned(b *testing.B) { benchmarkReader(b, sim.NewThinning(sim.DefaultRig())) }

func benchmarkReader(b *testing.B, thin sim.Thinning) {
	for _, c := range benchShapes {
		b.Run(c.name, func(b *testing.B) {
			log, made := makeLog(b, c.shape)
			b.SetBytes(int64(len(log)))
			b.ReportAllocs()
			for b.Loop() {
				if n := countWithReader(b, log, thin); n != made.Flicks {
					b.Fatalf("found %d presses, want %d", n, made.Flicks)
				}
			}
		})
	}
}

func BenchmarkEncodingCSV(b *testing.B) {
	for _, c := range benchShapes {
		b.Run(c.name, func(b *testing.B) {
			log, made := makeLog(b, c.shape)
			b.SetBytes(int64(len(log)))
			b.ReportAllocs()
			for b.Loop() {
				if n := countWithCSV(b, log); n != made.Flicks {
					b.Fatalf("found %d presses, want %d", n, made.Flicks)
				}
			}
		})
	}
}

func countWithReader(tb testing.TB, log []byte, thin sim.Thinning) (presses int64) {
	reader := NewReader(bytes.NewReader(log), "bench.csv", Options{Spec: spec("", "aux2", ""), Thin: thin})
	down := false
	for {
		block, err := reader.Next()
		if err == io.EOF {
			return presses
		}
		if err != nil {
			tb.Fatal(err)
		}
		for _, s := range block.Samples {
			if now := s.Channel >= 1250; now != down {
				down = now
				if down {
					presses++
				}
			}
		}
	}
}

func countWithCSV(tb testing.TB, log []byte) (presses int64) {
	reader := csv.NewReader(bytes.NewReader(log))
	reader.ReuseRecord = true
	header, err := reader.Read()
	if err != nil {
		tb.Fatal(err)
	}
	column := slices.Index(header, "aux2")
	down := false
	for {
		record, err := reader.Read()
		if err == io.EOF {
			return presses
		}
		if err != nil {
			tb.Fatal(err)
		}
		value, err := strconv.ParseFloat(record[column], 64)
		if err != nil {
			tb.Fatal(err)
		}
		if now := value >= 1250; now != down {
			down = now
			if down {
				presses++
			}
		}
	}
}
