package folder

import (
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim/card"
)

// BenchmarkRead reads a card of 10,000 files, and reports the processor time.
func BenchmarkRead(b *testing.B) {
	root := fill(b, 10_000)
	began := processorTime(b)
	for b.Loop() {
		files, err := Read(root)
		require.NoError(b, err)
		require.Len(b, card.New(files).Observed(), 10_000)
	}
	b.ReportMetric((processorTime(b)-began).Seconds()/float64(b.N), "processor-s/op")
}

func processorTime(b *testing.B) time.Duration {
	var used syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &used))
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
