package vcd

import (
	"bytes"
	"fmt"
	"io"
	"testing"
)

// bigDump returns a capture of a wire among seven busy ones and a bus.
func bigDump(size int) []byte {
	var b bytes.Buffer
	b.WriteString("$timescale 10 ns $end $scope module lake $end $var wire 1 ! SHUTTER $end ")
	for i := range 7 {
		fmt.Fprintf(&b, "$var wire 1 %s clock%d $end ", code(i+1), i)
	}
	b.WriteString("$var wire 8 * bus $end $enddefinitions $end\n#0\n0!\n")
	for n := 1; b.Len() < size; n++ {
		fmt.Fprintf(&b, "#%d\n%d%s\nb%08b *\n", 137*n, n&1, code(1+n%7), n&255)
		if n%100_000 == 0 {
			fmt.Fprintf(&b, "%d!\n", n/100_000&1)
		}
	}
	return b.Bytes()
}

func BenchmarkReader(b *testing.B) {
	data := bigDump(64 << 20)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		r := NewReader(bytes.NewReader(data), "wire.vcd", Options{Wire: "SHUTTER"})
		for {
			if _, err := r.Next(); err == io.EOF {
				break
			} else if err != nil {
				b.Fatal(err)
			}
		}
	}
}
