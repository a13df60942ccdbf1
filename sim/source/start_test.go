package source

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// TestARecordTellsWhereATakeRunsFromTheStart: a record keeps the start state of each
// segment, whatever the size of the pieces in which it is read.
func TestARecordTellsWhereATakeRunsFromTheStart(t *testing.T) {
	starts := []sim.StartState{sim.StartRecording, "", sim.StartRecording, sim.StartRecording, ""}
	var log bytes.Buffer
	w := NewRecorder(&log, sim.TapChannel, sim.Rig{}, 0)
	for i, start := range starts {
		block := sim.Block{Segment: i + 1, Start: start}
		for at := range sim.Micros(5) {
			block.Samples = append(block.Samples, sim.Sample{At: at * 20 * sim.Millisecond, Channel: 1000, Armed: sim.Absent})
		}
		half := block
		half.Samples = block.Samples[:2]
		require.NoError(t, w.Write(half))
		half.Samples = block.Samples[2:]
		require.NoError(t, w.Write(half))
	}
	for _, piece := range []int{1, 7, 1 << 20} {
		src, err := Open(&pieces{log.Bytes(), piece}, "drill.csv", Options{Spec: sim.DefaultRig().Log})
		require.NoError(t, err)
		var got []sim.StartState
		for {
			block, err := src.Next()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
			if block.Segment > len(got) {
				got = append(got, block.Start)
			}
			require.Equal(t, got[block.Segment-1], block.Start)
		}
		require.Equal(t, starts, got)
	}
}

// pieces limits the bytes of each read.
type pieces struct {
	rest []byte
	size int
}

func (p *pieces) Read(b []byte) (int, error) {
	n := copy(b, p.rest[:min(p.size, len(p.rest))])
	p.rest = p.rest[n:]
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}
