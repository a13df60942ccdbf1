package source

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/mavlink"
)

const (
	table   = "time_us,aux2\n0,1000\n100000,2000\n400000,1000\n2000000,1000\n"
	capture = "$timescale 1 us $end $var wire 1 ! SHUTTER $end $var wire 1 \" led $end $enddefinitions $end\n#0 0! #100000 1! #400000 0! #2000000\n"
)

// telemetry is a heartbeat of an armed craft and an RC_CHANNELS frame at
// 123.456 s whose channel 6 is 2000, made with the MAVLink C library.
func telemetry(t testing.TB) string {
	data, err := hex.DecodeString("fd090000000101000000000000000203c1040328f0" +
		"fd2a000002010141000040e20100dc05dc05e803dc05e803d007dc05e803ffffffffffffffffffffffffffffffffffffffff08c8e082")
	require.NoError(t, err)
	return string(data)
}

// twoSystems is a recording in which system 9 sends channel 6 three times, and
// system 7, after it, twice every 400 ms. The frames are made as those of package
// mavlink's tests are.
func twoSystems(t testing.TB) string {
	text, err := os.ReadFile("testdata/two-systems.hex")
	require.NoError(t, err)
	data, err := hex.DecodeString(strings.Join(strings.Fields(string(text)), ""))
	require.NoError(t, err)
	return string(data)
}

func TestTelemetryIsSurveyed(t *testing.T) {
	for name, log := range map[string]string{"plain": twoSystems(t), "gzip": zip(t, twoSystems(t))} {
		t.Run(name, func(t *testing.T) {
			opts := options()
			opened := 0
			opts.Again = func() (io.ReadCloser, error) {
				opened++
				return io.NopCloser(strings.NewReader(log)), nil
			}
			src, err := Open(strings.NewReader(log), "heron", opts)
			require.NoError(t, err)
			require.Equal(t, 1, opened)
			require.Equal(t, 1200*sim.Millisecond, src.Rig(sim.DefaultRig()).SignalLoss.StaleAfter, "three steps (M2)")
			require.ErrorIs(t, drainSource(src), io.EOF)
			sum := src.Summary().(mavlink.Summary)
			require.Equal(t, uint8(7), sum.System)
			require.Equal(t, 14, sum.Samples)
			require.Equal(t, &loss{400 * sim.Millisecond, 500 * sim.Millisecond, 1200 * sim.Millisecond}, src.loss)

			patient := sim.DefaultRig()
			patient.SignalLoss.StaleAfter = 2 * sim.Second
			require.Equal(t, 2*sim.Second, src.Rig(patient).SignalLoss.StaleAfter)
			require.Nil(t, src.loss)

			opts.System = 9
			src, err = Open(strings.NewReader(log), "heron", opts)
			require.NoError(t, err)
			require.ErrorIs(t, drainSource(src), io.EOF)
			require.Equal(t, uint8(9), src.Summary().(mavlink.Summary).System)

			stream := options()
			src, err = Open(strings.NewReader(log), "heron", stream)
			require.NoError(t, err)
			require.Equal(t, 1200*sim.Millisecond, src.Rig(sim.DefaultRig()).SignalLoss.StaleAfter, "only the start of a stream is surveyed")
			require.ErrorIs(t, drainSource(src), io.EOF)
			require.Equal(t, uint8(7), src.Summary().(mavlink.Summary).System)
		})
	}
	opts := options()
	opts.Again = func() (io.ReadCloser, error) { return nil, errors.New("the card is gone") }
	_, err := Open(strings.NewReader(twoSystems(t)), "heron", opts)
	require.EqualError(t, err, "heron: the card is gone")
	_, err = Open(strings.NewReader(table), "heron", opts)
	require.NoError(t, err, "a table is read once")
}

func drainSource(src *Source) error {
	for {
		if _, err := src.Next(); err != nil {
			return err
		}
	}
}

func zip(t *testing.T, text string) string {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, err := io.WriteString(w, text)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return b.String()
}

func options() Options {
	spec := sim.DefaultRig().Log
	spec.Channel = "aux2"
	return Options{Spec: spec, Wire: "shutter"}
}

func replay(t *testing.T, r io.Reader) (*sim.Replay, *Source) {
	t.Helper()
	src, err := Open(r, "heron", options())
	require.NoError(t, err)
	rig := src.Rig(sim.DefaultRig())
	chain := sim.NewChain(src.Tap(), rig)
	for {
		block, err := src.Next()
		if err == io.EOF {
			return chain.Finish(), src
		}
		require.NoError(t, err)
		require.NotEmpty(t, block.Samples)
		require.Equal(t, 1, block.Segment)
		for _, s := range block.Samples {
			chain.Feed(s)
		}
	}
}

// The same flick, from every kind of log, plain and compressed, whole or in
// bytes.
func TestOpenRecognisesByContent(t *testing.T) {
	for _, test := range []struct {
		text string
		kind Kind
		tap  sim.Tap
	}{
		{table, CSV, sim.TapChannel},
		{capture, VCD, sim.TapWire},
		{"rate: 1000\n" + capture, VCD, sim.TapWire},
		{telemetry(t), MAVLink, sim.TapChannel},
		{string(binary.BigEndian.AppendUint64(nil, 1_764_000_000_000_000)) + telemetry(t), MAVLink, sim.TapChannel},
	} {
		for name, text := range map[string]string{"plain": test.text, "gzip": zip(t, test.text)} {
			t.Run(string(test.kind)+" "+name, func(t *testing.T) {
				found, err := recognise(bufio.NewReaderSize(strings.NewReader(text), headSize), "")
				require.NoError(t, err)
				require.Equal(t, test.kind, found.kind)
				require.Equal(t, name == "gzip", found.gzip)
				for _, r := range []io.Reader{strings.NewReader(text), iotest.OneByteReader(strings.NewReader(text))} {
					whole, src := replay(t, r)
					require.Equal(t, test.tap, src.Tap())
					require.NotEmpty(t, src.Reading().Facts)
					require.Equal(t, test.kind == MAVLink, whole.Armed != nil)
					require.Len(t, whole.Presses, 1)
					if test.kind != MAVLink {
						require.Equal(t, 300*sim.Millisecond, whole.Presses[0].Hold())
						require.Equal(t, 2*sim.Second, whole.End)
					}
				}
			})
		}
	}
}

func TestOpenOutput(t *testing.T) {
	opts := options()
	opts.Spec.Channel = "servo3"
	src, err := Open(strings.NewReader(telemetry(t)), "heron", opts)
	require.NoError(t, err)
	require.Equal(t, sim.TapOutput, src.Tap())
}

func TestOpenErrors(t *testing.T) {
	drain := func(text string, opts Options) error {
		src, err := Open(strings.NewReader(text), "heron", opts)
		for err == nil {
			_, err = src.Next()
		}
		return err
	}
	opts := options()
	opts.Spec.Channel = "throttle"
	require.EqualError(t, drain(telemetry(t), opts), `heron: this is MAVLink: found channel "throttle", want a channel from chan1 to chan18 (ch5, 5 and aux1 are chan5), or an output from servo1 to servo16, servo1@1 on port 1`)

	zipped := zip(t, capture+strings.Repeat("#2000001 0!\n", 1000))
	require.Regexp(t, `^heron:[1-9][0-9]*: the compressed log breaks off$`, drain(zipped[:len(zipped)-9], options()).Error())
	require.ErrorContains(t, drain("\x1f\x8b", options()), "heron: the compressed log")
	require.ErrorContains(t, drain("", options()), "heron")
	require.ErrorContains(t, drain(strings.Repeat("\x00\xfe\xff", 100_000), options()), "heron")

	_, err := Open(iotest.ErrReader(errors.New("the card is gone")), "heron", options())
	require.EqualError(t, err, "heron: the card is gone")
}

// A table must be recognised by its first line, as the second line of a live one may
// come much later.
func TestOpenDoesNotWait(t *testing.T) {
	in, out := io.Pipe()
	go out.Write([]byte("time_us,aux2\n"))
	src, err := Open(in, "pipe", options())
	require.NoError(t, err)
	require.IsType(t, csvLog{}, src.reader)
	require.NoError(t, out.Close())
}
