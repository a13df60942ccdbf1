package vcd

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

func TestWrite(t *testing.T) {
	edges := func(times ...sim.Micros) (all []sim.Edge) {
		for i, us := range times {
			all = append(all, sim.Edge{At: us, Pressed: i%2 == 0})
		}
		return all
	}
	var out bytes.Buffer
	require.NoError(t, Write(&out, "Heron on the lake", []Signal{
		{Name: "switch", Lane: sim.Lane{Edges: edges(100, 400)}},
		{Name: "camera wire", Lane: sim.Lane{Edges: edges(120, 400)}, ActiveLow: true},
	}, 1000))
	require.Equal(t, `$version flicktally $end
$timescale 1 us $end
$scope module Heron_on_the_lake $end
$var wire 1 ! switch $end
$var wire 1 " camera_wire $end
$upscope $end
$enddefinitions $end
#0
$dumpvars
0!
1"
$end
#100
1!
#120
0"
#400
0!
1"
#1000
`, out.String())
}

// A time must follow a pulse that ends with the log: otherwise readers do not show
// it.
func TestWriteClosesBehindTheLastChange(t *testing.T) {
	var out bytes.Buffer
	lane := sim.Lane{Initial: true, Edges: []sim.Edge{{At: 50}}}
	require.NoError(t, Write(&out, "", []Signal{{Name: "wire", Lane: lane}}, 50))
	require.True(t, strings.HasSuffix(out.String(), "#50\n0!\n#51\n"), out.String())
}

func TestCodesAreDistinctAndPrintable(t *testing.T) {
	seen := map[string]bool{}
	for i := range 20_000 {
		c := code(i)
		require.False(t, seen[c], "%d", i)
		seen[c] = true
		require.Empty(t, strings.Trim(c, "!\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`abcdefghijklmnopqrstuvwxyz{|}~"))
	}
}

// Each of many lanes reads back as it was written.
func TestWriteReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		end := sim.Micros(rapid.IntRange(1, 300).Draw(t, "end"))
		var signals []Signal
		for i := range rapid.IntRange(1, 100).Draw(t, "lanes") {
			s := Signal{Name: fmt.Sprintf("w%d", i), ActiveLow: i%3 == 0}
			s.Lane.Initial = i%2 == 0
			level, us := s.Lane.Initial, sim.Micros(0)
			for _, gap := range rapid.SliceOfN(rapid.IntRange(1, 100), 0, 10).Draw(t, "gaps") {
				if us += sim.Micros(gap); us >= end {
					break
				}
				level = !level
				s.Lane.Edges = append(s.Lane.Edges, sim.Edge{At: us, Pressed: level})
			}
			signals = append(signals, s)
		}
		var out bytes.Buffer
		require.NoError(t, Write(&out, "lake", signals, end))
		s := signals[rapid.IntRange(0, len(signals)-1).Draw(t, "which")]
		width := func(on bool) sim.PulseWidth {
			return map[bool]sim.PulseWidth{false: 1000, true: 2000}[on != s.ActiveLow]
		}
		want := []at{{0, width(s.Lane.Initial)}}
		for _, e := range s.Lane.Edges {
			want = append(want, at{e.At, width(e.Pressed)})
		}
		want = append(want, at{end, want[len(want)-1].level})
		got, err := readAll(NewReader(&out, "wire.vcd", Options{Wire: s.Name}))
		require.NoError(t, err)
		require.Equal(t, want, got)
	})
}
