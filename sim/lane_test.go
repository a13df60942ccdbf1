package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Results of lanes and takes, compared with counting microseconds.

// drawTimes draws moments in order, none twice.
func drawTimes(t *rapid.T, name string, least Micros) []Micros {
	var times []Micros
	for at := least; ; {
		at += Micros(rapid.IntRange(0, 4).Draw(t, name))
		if at > 30 {
			return times
		}
		times = append(times, at)
		at++
	}
}

func drawSpan(t *rapid.T) Span {
	from := Micros(rapid.IntRange(0, 30).Draw(t, "from"))
	return Span{from, from + Micros(rapid.IntRange(0, 30).Draw(t, "length"))}
}

// countWithin counts the microseconds of a span for which something holds.
func countWithin(s Span, holds func(at Micros) bool) (n Micros) {
	for at := s.From; at < s.To; at++ {
		if holds(at) {
			n++
		}
	}
	return n
}

func TestALaneIsPressedMicrosecondByMicrosecond(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lane := Lane{Initial: rapid.Bool().Draw(t, "initial")}
		level, levels := lane.Initial, [100]bool{}
		times := drawTimes(t, "edge", 0)
		for at := range Micros(len(levels)) {
			if len(times) > 0 && times[0] == at {
				level, times = !level, times[1:]
				lane.Edges = append(lane.Edges, Edge{At: at, Pressed: level})
			}
			levels[at] = level
			require.Equal(t, level, lane.At(at))
		}
		for range 5 {
			span := drawSpan(t)
			require.Equal(t, countWithin(span, func(at Micros) bool { return levels[at] }), lane.PressedWithin(span), "%v", span)
		}
	})
}

func TestTakesCoverMicrosecondByMicrosecond(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var takes []Take
		times := drawTimes(t, "take", 0)
		for i := 0; i+1 < len(times); i += 2 {
			takes = append(takes, Take{N: len(takes) + 1, Start: times[i], End: times[i+1]})
		}
		recorded := func(at Micros) bool {
			for _, take := range takes {
				if take.Span().Contains(at) {
					return true
				}
			}
			return false
		}
		for range 5 {
			span := drawSpan(t)
			n := countWithin(span, recorded)
			require.Equal(t, n, RecordedWithin(span, takes), "%v", span)
			var left Micros
			for _, s := range uncovered([]Span{span}, takes) {
				require.Positive(t, s.Length())
				require.True(t, s.From >= span.From && s.To <= span.To)
				require.Zero(t, countWithin(s, recorded))
				left += s.Length()
			}
			require.Equal(t, span.Length()-n, left)
			for _, take := range takesWithin(span, takes) {
				require.True(t, take.Start < span.To && take.End > span.From, "a part of it lies in the span")
			}
		}
	})
}

func TestSecondsOfMicros(t *testing.T) {
	assert.InDelta(t, 1.25, (1250 * Millisecond).Seconds(), 1e-12)
	assert.InDelta(t, -60, (-Minute).Seconds(), 1e-12)
}
