package sim_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

func TestMicrosString(t *testing.T) {
	for want, m := range map[string]sim.Micros{
		"0s":                   0,
		"1us":                  1,
		"999us":                999,
		"-250us":               -250,
		"1ms":                  1000,
		"80ms":                 80 * sim.Millisecond,
		"80.25ms":              80250,
		"999.999ms":            999999,
		"1s":                   sim.Second,
		"-1.5s":                -1500 * sim.Millisecond,
		"1.000001s":            1000001,
		"90s":                  90 * sim.Second,
		"3600000s":             sim.MaxDuration,
		"never":                sim.Never,
		"-9223372036854.7758s": math.MinInt64 + 8,
	} {
		t.Run(want, func(t *testing.T) { assert.Equal(t, want, m.String()) })
	}
}

func TestParseDurationReadsWhatStringWrites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := sim.Micros(rapid.Int64Range(0, int64(sim.MaxDuration)).Draw(t, "m"))
		got, err := sim.ParseDuration(want.String())
		require.NoError(t, err)
		require.Equal(t, want, got)
	})
}

func TestParseDuration(t *testing.T) {
	for text, want := range map[string]sim.Micros{
		"80ms":      80 * sim.Millisecond,
		"1.2s":      1200 * sim.Millisecond,
		"250us":     250,
		"250µs":     250,
		"1m30s":     90 * sim.Second,
		"1000h":     sim.MaxDuration,
		"0":         0,
		".5ms":      500,
		"1000000ns": sim.Millisecond,
	} {
		t.Run(text, func(t *testing.T) {
			got, err := sim.ParseDuration(text)
			require.NoError(t, err)
			assert.Equal(t, want, got)
		})
	}
	for text, want := range map[string]string{
		"":            `found "", want a number with a unit, such as "80ms", "1.2s" or "250us"`,
		"80":          `found "80", want a number with a unit, such as "80ms", "1.2s" or "250us"`,
		"80 ms":       `found "80 ms", want a number with a unit, such as "80ms", "1.2s" or "250us"`,
		"1,5s":        `found "1,5s", want a number with a unit, such as "80ms", "1.2s" or "250us"`,
		"\x1b[2Jms":   `found "\x1b[2Jms", want a number with a unit, such as "80ms", "1.2s" or "250us"`,
		"-1ms":        `found "-1ms", want a duration that is not negative`,
		"1.5us":       `found "1.5us", want a whole number of microseconds`,
		"999ns":       `found "999ns", want a whole number of microseconds`,
		"1000.00001h": `found "1000.00001h", want at most 1000h`,
	} {
		t.Run("refuses "+text, func(t *testing.T) {
			_, err := sim.ParseDuration(text)
			assert.EqualError(t, err, want)
		})
	}
}

func TestRounded(t *testing.T) {
	for want, m := range map[string]sim.Micros{
		"80.3ms":  80250,
		"2.31s":   2309500,
		"2.309s":  2309499,
		"-1.001s": -1000500,
		"never":   sim.Never,
	} {
		t.Run(want, func(t *testing.T) { assert.Equal(t, want, m.Rounded()) })
	}
}

func TestClock(t *testing.T) {
	for want, m := range map[string]sim.Micros{
		"0:00.000":       0,
		"0:12.500":       12500 * sim.Millisecond,
		"0:59.999":       59999499,
		"1:00.000":       59999500,
		"59:59.000":      3599 * sim.Second,
		"1:02:03.250":    3723250 * sim.Millisecond,
		"1000:00:00.000": sim.MaxDuration,
		"-0:01.500":      -1500 * sim.Millisecond,
		"never":          sim.Never,
	} {
		t.Run(want, func(t *testing.T) { assert.Equal(t, want, m.Clock()) })
	}
}

// Go's time package is the reference for the digits of a clock.
func TestClockAgreesWithTimePackage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		millis := rapid.Int64Range(0, 24*3600*1000-1).Draw(t, "ms")
		at := time.UnixMilli(millis).UTC()
		want := at.Format("4:05.000")
		if millis >= 3600*1000 {
			want = strings.TrimPrefix(at.Format("15:04:05.000"), "0")
		}
		require.Equal(t, want, (sim.Micros(millis) * sim.Millisecond).Clock())
	})
}

func TestParseClock(t *testing.T) {
	for text, want := range map[string]sim.Micros{
		"12.5s":      12500 * sim.Millisecond,
		"0:12.5":     12500 * sim.Millisecond,
		"1:02:03.25": 3723250 * sim.Millisecond,
		"90:00":      90 * sim.Minute,
		"0:00.00001": 10,
		"0:0.123456": 123456,
		"1:59:59":    2*sim.Hour - sim.Second,
		"1000:00:00": sim.MaxDuration,
	} {
		t.Run(text, func(t *testing.T) {
			got, err := sim.ParseClock(text)
			require.NoError(t, err)
			assert.Equal(t, want, got)
		})
	}
	for _, text := range []string{
		"", "12.5", "-1s", ":", "0:", ":30", "0:60", "1:60:00", "0:-1", "0:+1", "0:1.", "0:1.0000001", "0:1.-1", "0:1,5",
		"1:2:3:4", "0 :1",
	} {
		t.Run("refuses "+text, func(t *testing.T) {
			_, err := sim.ParseClock(text)
			assert.ErrorContains(t, err, fmt.Sprintf("found %q, want a time such as ", text))
		})
	}
}

// A limit is told where it is met.
func TestTheLimitOfTimesIsTold(t *testing.T) {
	for _, text := range []string{"1000:00:00.000001", "4294967295:00:00", "1001h", "99999999h", "9999999999999999999999s", "1000h1us"} {
		_, err := sim.ParseClock(text)
		assert.EqualError(t, err, fmt.Sprintf("found %q, want at most 1000h", text))
	}
	_, err := sim.ParseDuration("99999999h")
	assert.EqualError(t, err, `found "99999999h", want at most 1000h`)
}

func TestParseClockReadsWhatClockWrites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := sim.Micros(rapid.Int64Range(0, int64(sim.MaxDuration/sim.Millisecond)).Draw(t, "ms")) * sim.Millisecond
		got, err := sim.ParseClock(want.Clock())
		require.NoError(t, err)
		require.Equal(t, want, got)
	})
}
