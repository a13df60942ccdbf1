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

// A hold or a setting shows whole milliseconds, or tenths of one below 10 ms, up
// to 10 s.
func TestRounded(t *testing.T) {
	for want, m := range map[string]sim.Micros{
		"0 ms":     0,
		"0.3 ms":   250,
		"9.5 ms":   9500,
		"10 ms":    9999,
		"80 ms":    80250,
		"2310 ms":  2309500,
		"-1001 ms": -1000500,
		"9999 ms":  9999499,
		"10 s":     9999500,
		"12.4 s":   12350 * sim.Millisecond,
		"never":    sim.Never,
	} {
		t.Run(want, func(t *testing.T) { assert.Equal(t, want, m.Rounded()) })
	}
}

func TestExact(t *testing.T) {
	assert.Equal(t, "279.999 ms", sim.Micros(279999).Exact())
	assert.Equal(t, "1500 ms", (1500 * sim.Millisecond).Exact())
	assert.Equal(t, "never", sim.Never.Exact())
}

func TestReadable(t *testing.T) {
	for want, m := range map[string]sim.Micros{
		"350 ms": 350 * sim.Millisecond,
		"1 s":    999500,
		"55 s":   55 * sim.Second,
		"12.4 s": 12350 * sim.Millisecond,
		"1:00":   59950 * sim.Millisecond,
		"2:24":   144 * sim.Second,
		"2:24.5": 144500 * sim.Millisecond,
		"never":  sim.Never,
	} {
		t.Run(want, func(t *testing.T) { assert.Equal(t, want, m.Readable()) })
	}
}

func TestClock(t *testing.T) {
	for want, m := range map[string]sim.Micros{
		"0:00.0":       0,
		"0:12.5":       12500 * sim.Millisecond,
		"0:59.9":       59949 * sim.Millisecond,
		"1:00.0":       59950 * sim.Millisecond,
		"59:59.0":      3599 * sim.Second,
		"1:02:03.3":    3723250 * sim.Millisecond,
		"1000:00:00.0": sim.MaxDuration,
		"-0:01.5":      -1500 * sim.Millisecond,
		"never":        sim.Never,
	} {
		t.Run(want, func(t *testing.T) { assert.Equal(t, want, m.Clock()) })
	}
}

// Go's time package is the reference for the digits of a clock.
func TestFineClockAgreesWithTimePackage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		millis := rapid.Int64Range(0, 24*3600*1000-1).Draw(t, "ms")
		at := time.UnixMilli(millis).UTC()
		want := at.Format("4:05.000")
		if millis >= 3600*1000 {
			want = strings.TrimPrefix(at.Format("15:04:05.000"), "0")
		}
		require.Equal(t, want, (sim.Micros(millis) * sim.Millisecond).FineClock())
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

func TestTimesBeyondTheLimitAreRefused(t *testing.T) {
	for _, text := range []string{"1000:00:00.000001", "4294967295:00:00", "1001h", "99999999h", "9999999999999999999999s", "1000h1us"} {
		_, err := sim.ParseClock(text)
		assert.EqualError(t, err, fmt.Sprintf("found %q, want at most 1000h", text))
	}
	_, err := sim.ParseDuration("99999999h")
	assert.EqualError(t, err, `found "99999999h", want at most 1000h`)
}

func TestParseClockReadsWhatFineClockWrites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := sim.Micros(rapid.Int64Range(0, int64(sim.MaxDuration/sim.Millisecond)).Draw(t, "ms")) * sim.Millisecond
		got, err := sim.ParseClock(want.FineClock())
		require.NoError(t, err)
		require.Equal(t, want, got)
	})
}
