package mavlink

import (
	"bytes"
	"errors"
	"io"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

func TestSurvey(t *testing.T) {
	var data []byte
	for n := range uint32(10) { // 7 is first, 9 sends more; 255 sends no value
		if n < 4 {
			data = append(data, channels(byte(n), 7, 1000+100*n, 1000)...)
		}
		data = append(data, channels(byte(n), 9, 1000+250*n, 1000)...)
		data = append(data, raw(byte(n), 9, 1000+250*n, 1000)...)
		data = append(data, channels(byte(n), 255, 1000+10*n, 0)...)
	}
	line := Line{Number: 6}
	for _, r := range []io.Reader{bytes.NewReader(data), iotest.OneByteReader(bytes.NewReader(data)), io.MultiReader(bytes.NewReader(data), iotest.ErrReader(errors.New("the card is gone")))} {
		s := NewSurvey(r, line)
		require.Equal(t, []SystemFrames{{9, 20}, {7, 4}}, s.Systems)
		require.Equal(t, uint8(9), s.Most())
		require.Equal(t, 250*sim.Millisecond, s.Step(9), "what repeats an instant is no step")
		require.Equal(t, 100*sim.Millisecond, s.Step(7))
		require.Zero(t, s.Step(255))
	}
	none := NewSurvey(bytes.NewReader(channels(0, 255, 5, 0)), line)
	require.Zero(t, none.Most())
	one := NewSurvey(bytes.NewReader(channels(0, 3, 5, 1000)), line)
	require.Equal(t, uint8(3), one.Most())
	require.Zero(t, one.Step(3))
}

// Steps are those between the times of the samples.
func TestSurveySteps(t *testing.T) {
	for _, test := range []struct {
		rule  string
		times []sim.Micros
		want  sim.Micros
	}{
		{"none", nil, 0},
		{"the middle one", []sim.Micros{0, 10_000, 30_000, 60_000}, 20_000},
		{"the higher of two middle ones", []sim.Micros{0, 10_000, 30_000}, 20_000},
		{"an overtaken frame is none", []sim.Micros{0, 20_000, 10_000, 40_000}, 20_000},
		{"nor is a restart", []sim.Micros{9_000_000, 9_020_000, 0, 20_000}, 20_000},
		{"rounded up", []sim.Micros{0, 20_001, 40_002}, 21_000},
		{"a long one", []sim.Micros{0, 60_000_000}, 4_000_000},
	} {
		t.Run(test.rule, func(t *testing.T) {
			var s steps
			for _, at := range test.times {
				s.add(at)
			}
			require.Equal(t, test.want, s.median())
		})
	}
}
