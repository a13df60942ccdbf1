package source

import (
	"bytes"
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// FuzzOpen checks that every log, of any kind and compressed or not, is read to an
// end, that the chain accepts its samples, and that no error shows anything that a
// terminal would act on.
func FuzzOpen(f *testing.F) {
	for _, log := range []string{table, capture, telemetry(f), "# flicktally record: wire\ntime_us,channel\n0,1000\n9,2000\n", "", "$date \x1b[2J"} {
		for _, zipped := range []bool{false, true} {
			f.Add([]byte(log), "aux2", zipped)
			f.Add([]byte(log), "#2", zipped)
		}
	}
	f.Fuzz(func(t *testing.T, log []byte, channel string, zipped bool) {
		if zipped {
			log = []byte(zip(t, string(log)))
		}
		spec := sim.DefaultRig().Log
		spec.Channel = channel
		src, err := Open(bytes.NewReader(log), "a\x1b[2Jlog", Options{Spec: spec, Lenient: true})
		if err != nil {
			requireSafe(t, err)
			return
		}
		requireFed(t, src)
	})
}

func requireFed(t *testing.T, src *Source) {
	rig := src.Rig(sim.DefaultRig())
	var chain *sim.Chain
	for segment := 0; ; {
		block, err := src.Next()
		if err != nil {
			if err != io.EOF {
				requireSafe(t, err)
			}
			break
		}
		require.NotEmpty(t, block.Samples)
		if block.Segment > segment {
			require.Equal(t, segment+1, block.Segment)
			require.Zero(t, block.Samples[0].At)
			segment, chain = block.Segment, sim.NewChain(src.Tap(), rig)
		}
		for _, s := range block.Samples {
			chain.Feed(s)
		}
	}
	if chain != nil {
		chain.Finish()
	}
	src.Reading()
}

func requireSafe(t *testing.T, err error) {
	require.Equal(t, excerpt.Printable(err.Error()), err.Error())
}
