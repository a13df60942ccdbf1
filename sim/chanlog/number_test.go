package chanlog

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseNumberRefusesWhatIsNone(t *testing.T) {
	for _, text := range []string{"", "-", "+", ".", "e5", "1e", "1e+", "1e5x", "0x10", "1_000", "1 000", "1.2.3", "1,5", "--1", "nanx", ".nan", "in", "١"} {
		if n, ok := parseNumber([]byte(text), false); ok {
			t.Errorf("%q: got %+v", text, n)
		}
	}
	for _, text := range []string{"1,2,3", "1.2,3", ","} {
		if n, ok := parseNumber([]byte(text), true); ok {
			t.Errorf("%q with decimal commas: got %+v", text, n)
		}
	}
}

// genNumber draws decimal numbers in all their forms, of any length.
func genNumber() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.StringMatching(`[+-]?[0-9]{1,25}(\.[0-9]{0,25})?(e[+-]?[0-9]{1,2})?`),
		rapid.StringMatching(`[+-]?\.[0-9]{1,25}(E[+-]?[0-9]{1,3})?`),
		rapid.StringMatching(`[0-9]{1,7}(\.[0-9]{1,6})?`),
	)
}

// The value is that of strconv.ParseFloat, which rounds correctly.
func TestNumberIsTheNearestFloat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := genNumber().Draw(t, "number")
		want, _ := strconv.ParseFloat(text, 64) // the error is that of a range, the value ±Inf
		if got, ok := parseFloat([]byte(text), false); !ok || got != want {
			t.Errorf("%q: got %v, %t, want %v", text, got, ok, want)
		}
		comma := strings.Replace(text, ".", ",", 1)
		if got, ok := parseFloat([]byte(comma), true); !ok || got != want {
			t.Errorf("%q with a comma: got %v, %t, want %v", comma, got, ok, want)
		}
	})
}

// The time is the exact decimal in µs, halves rounded away from zero, by the
// rational numbers of math/big.
func TestMicrosAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := genNumber().Draw(t, "number")
		unit := rapid.SampledFrom([]tick{{1, -3}, {1, 0}, {1, 3}, {1, 6}, {6, 7}, {36, 8}, {25, 4}}).Draw(t, "unit")
		n, _ := parseNumber([]byte(text), false)
		if n.mantissa > math.MaxUint64/unit.factor {
			t.Skip("more digits than a time has")
		}
		got, ok := n.micros(unit)
		want, wantOK := exactMicros(text, unit)
		if ok != wantOK || ok && got != want {
			t.Errorf("%q · %+v: got %d, %t, want %d, %t", text, unit, got, ok, want, wantOK)
		}
	})
}

func exactMicros(text string, unit tick) (int64, bool) {
	v, _ := new(big.Rat).SetString(text)
	micros, _ := new(big.Rat).SetString(fmt.Sprintf("%de%d", unit.factor, unit.exponent))
	v.Mul(v, micros)
	negative := v.Sign() < 0
	v.Abs(v).Add(v, big.NewRat(1, 2))
	whole := new(big.Int).Quo(v.Num(), v.Denom())
	if whole.Cmp(big.NewInt(maxTime)) > 0 {
		return 0, false
	}
	if negative {
		return -whole.Int64(), true
	}
	return whole.Int64(), true
}

func TestMicrosAtTheEdges(t *testing.T) {
	tests := []struct {
		text string
		unit int
		want int64
	}{
		{"0.4999999999999999999999", 0, 0},
		{"0.5", 0, 1},
		{"-0.5", 0, -1},
		{"2.5", 0, 3},
		{"0.0000005", 6, 1},
		{"0.00000049999", 6, 0},
		// 0.1 and 0.3 have no exact binary form: through a float64, 4.35 s
		// becomes 4349999.9999999995 µs.
		{"4.35", 6, 4350000},
		{"1700000000.123456", 6, 1700000000123456},
		{"900000000000000000", 0, 900000000000000000},
		{"1e-400", 6, 0},
	}
	for _, test := range tests {
		n, _ := parseNumber([]byte(test.text), false)
		if got, ok := n.micros(tick{1, test.unit}); !ok || got != test.want {
			t.Errorf("%s · 10^%d: got %d, %t, want %d", test.text, test.unit, got, ok, test.want)
		}
	}
	for _, text := range []string{"900000000000000001", "1e18", "1e99999999999999999999", "nan", "-inf"} {
		n, _ := parseNumber([]byte(text), false)
		if got, ok := n.micros(tick{1, 0}); ok {
			t.Errorf("%s: got %d", text, got)
		}
	}
}

// The fast way reads the same number as the general way.
func TestScanDecimalAgreesWithParseNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(genNumber(), rapid.StringMatching(`[-+ 0-9.e,x]{0,12}`)).Draw(t, "field")
		behind := rapid.SampledFrom([]string{"", ",", ",8", ",8,9,10,11,12"}).Draw(t, "behind")
		line := []byte("7," + text + behind)
		n, end := scanDecimal(line, 2)
		if n.digits == 0 || n.digits > maxPlainDigits || end < len(line) && line[end] != ',' {
			return
		}
		field := bytes.TrimSpace(line[2:end])
		want, ok := parseFloat(field, false)
		if !ok || n.float() != want {
			t.Errorf("%q: got %+v, general %v, %t", field, n, want, ok)
		}
	})
}

// It holds for every count of digits, and every byte that can end them.
func TestLeadingDigitsStopAtTheFirstOther(t *testing.T) {
	for count := range 9 {
		for other := range 256 {
			text := []byte("98765432")
			if count < 8 {
				if other >= '0' && other <= '9' {
					continue
				}
				text[count] = byte(other)
			}
			want, _ := strconv.ParseUint("0"+string(text[:count]), 10, 64)
			if got, n := leadingDigits(binary.LittleEndian.Uint64(text)); got != want || n != count {
				t.Fatalf("%q: got %d of %d digits, want %d of %d", text, got, n, want, count)
			}
		}
	}
}

func TestSpecialNumbers(t *testing.T) {
	for text, want := range map[string]float64{
		"nan": math.NaN(), "NaN": math.NaN(), "-nan": math.NaN(),
		"inf": math.Inf(1), "+Inf": math.Inf(1), "-INFINITY": math.Inf(-1), "1e999": math.Inf(1), "-1e999": math.Inf(-1),
	} {
		if got, ok := parseFloat([]byte(text), false); !ok || got != want && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Errorf("%s: got %v, %t", text, got, ok)
		}
	}
}
