package chanlog

import (
	"bytes"
	"math"
	"strconv"
)

// number is a decimal number as written: ±mantissa · 10^exponent.
type number struct {
	negative  bool
	mantissa  uint64 // the first 19 significant digits
	exponent  int
	truncated bool    // there were more digits
	special   float64 // NaN or +Inf if one was written, else 0
}

const (
	maxDigits   = 19      // that fit into 64 bits whatever they are
	maxExponent = 1 << 20 // more makes no difference, and sums stay in an int
)

// parseNumber reads a whole field: [+-] digits [mark digits] [e [+-] digits],
// or nan or inf in any case. The mark is a point, or also a comma where commas
// do not separate fields.
func parseNumber(text []byte, comma bool) (n number, ok bool) {
	i := 0
	if i < len(text) && (text[i] == '-' || text[i] == '+') {
		n.negative = text[i] == '-'
		i++
	}
	digits, marked := 0, false
	for ; i < len(text); i++ {
		c := text[i]
		if !marked && (c == '.' || comma && c == ',') {
			marked = true
			continue
		}
		if c < '0' || c > '9' {
			break
		}
		digits++
		n.push(c-'0', marked)
	}
	if digits == 0 {
		return parseSpecial(text[i:], marked, n)
	}
	if i < len(text) {
		exponent, ok := parseExponent(text[i:])
		if !ok {
			return number{}, false
		}
		n.exponent += exponent
	}
	return n, true
}

// push appends a digit. Digits that do not fit are dropped. They change neither
// a rounded time nor a value, as the text is then parsed again.
func (n *number) push(digit byte, fraction bool) {
	if n.mantissa >= 1e18 {
		n.truncated = true
		if !fraction {
			n.exponent++
		}
		return
	}
	n.mantissa = n.mantissa*10 + uint64(digit)
	if fraction {
		n.exponent--
	}
}

func parseSpecial(text []byte, marked bool, n number) (number, bool) {
	if marked {
		return number{}, false
	}
	switch {
	case bytes.EqualFold(text, []byte("nan")):
		n.special = math.NaN()
	case bytes.EqualFold(text, []byte("inf")), bytes.EqualFold(text, []byte("infinity")):
		n.special = math.Inf(1)
	default:
		return number{}, false
	}
	return n, true
}

// parseExponent reads "e-3" and the like.
func parseExponent(text []byte) (int, bool) {
	if text[0] != 'e' && text[0] != 'E' {
		return 0, false
	}
	text = text[1:]
	negative := false
	if len(text) > 0 && (text[0] == '-' || text[0] == '+') {
		negative = text[0] == '-'
		text = text[1:]
	}
	if len(text) == 0 {
		return 0, false
	}
	exponent := 0
	for _, c := range text {
		if c < '0' || c > '9' {
			return 0, false
		}
		exponent = min(exponent*10+int(c-'0'), maxExponent)
	}
	if negative {
		exponent = -exponent
	}
	return exponent, true
}

// finite reports whether n is finite and not NaN.
func (n number) finite() bool { return n.special == 0 }

// float returns the value nearest to n. Text is what n was read from.
func (n number) float(text []byte) float64 {
	var v float64
	switch {
	case !n.finite():
		v = n.special
	case n.mantissa < 1<<53 && n.exponent >= -maxExactPower && n.exponent <= maxExactPower && !n.truncated:
		v = scaled(n.mantissa, n.exponent)
	default:
		// The error is that of a range: the value is then ±Inf or 0, as it
		// should be.
		v, _ = strconv.ParseFloat(string(bytes.Replace(text, []byte(","), []byte("."), 1)), 64)
		return v
	}
	if n.negative {
		return -v
	}
	return v
}

// maxExactPower is the highest power of ten that a float64 represents exactly,
// so that one multiplication or division by it rounds correctly (Clinger 1990,
// How to Read Floating Point Numbers Accurately).
const maxExactPower = 22

var exactPowers = [maxExactPower + 1]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// scaled returns mantissa · 10^exponent, correctly rounded, for a mantissa
// below 2^53.
func scaled(mantissa uint64, exponent int) float64 {
	if exponent < 0 {
		return float64(mantissa) / exactPowers[-exponent]
	}
	return float64(mantissa) * exactPowers[exponent]
}
