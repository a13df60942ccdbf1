package vcd

import (
	"errors"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"flicktally/sim/excerpt"
)

// Whatever the bytes, there is no panic, the samples are in order of time, the
// levels change, and an error has its place in the file and is printable.
func FuzzReader(f *testing.F) {
	f.Add([]byte(standardExample))
	f.Add([]byte(twoCameras))
	f.Add([]byte(dump("1 us", "#0 0! #5 1! #9 x! b1 ! $comment $end #99")))
	f.Add([]byte(byteOrderMark + dump("1 MS", "#-5 0! #5 1! $dump"+framing[3]+" x! $end $timezero 3 $end #99")))
	f.Add([]byte("$scope module \x1b[2J $end\n$var wire 1 ! \xff\xfe $end $timescale 1 week $end"))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, wire := range []string{"", "SHUTTER"} {
			got, err := readEvery(NewReader(strings.NewReader(string(data)), "wire.vcd", Options{Wire: wire}))
			for i, s := range got {
				require.True(t, i == 0 && s.us == 0 || i > 0 && s.us > got[i-1].us, "sample %d at %d", i, s.us)
				changes := i == 0 || i == len(got)-1 || s.level != got[i-1].level
				require.True(t, changes || s.level != got[i+1].level, "sample %d changes nothing, nor does the one behind it", i)
			}
			again, errAgain := readEvery(NewReader(iotest.HalfReader(strings.NewReader(string(data))), "wire.vcd", Options{Wire: wire}))
			require.Equal(t, got, again)
			require.Equal(t, err, errAgain)
			requirePlaced(t, string(data), err)
		}
		Recognise(data)
	})
}

func requirePlaced(t *testing.T, data string, err error) {
	if err == nil {
		return
	}
	require.Equal(t, excerpt.Printable(err.Error()), err.Error())
	if wrong := new(excerpt.SyntaxError); errors.As(err, &wrong) {
		lines := strings.Split(data, "\n")
		require.True(t, wrong.Line >= 1 && wrong.Line <= len(lines), "line %d", wrong.Line)
		require.True(t, wrong.Column >= 1 && wrong.Column <= len(lines[wrong.Line-1])+1, "column %d", wrong.Column)
		return
	}
	noWire := new(WireError)
	require.ErrorAs(t, err, &noWire, "an error without a place")
}
