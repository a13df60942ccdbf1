package chanlog

import (
	"bytes"
	"errors"
	"math"
	"strconv"
)

// number is a decimal number as written: ±mantissa · 10^exponent.
type number struct {
	negative  bool
	mantissa  uint64 // the first 19 significant digits
	exponent  int
	truncated bool // there were more digits
	special   bool // NaN or an infinity
}

// parseNumber reads a whole field: [+-] digits [mark digits] [e [+-] digits],
// or nan or inf in any case. The mark is a point or, if comma is set, also a
// comma.
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
		n.special = true
		return n, !marked && isSpecial(text[i:])
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

// push appends a digit. It drops digits that do not fit: they change no rounded
// time, and a value is parsed from its text.
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

func isSpecial(text []byte) bool {
	return bytes.EqualFold(text, []byte("nan")) || bytes.EqualFold(text, []byte("inf")) || bytes.EqualFold(text, []byte("infinity"))
}

// parseExponent reads "e-3" and the like. It limits the exponent to ±2^20: more
// makes no difference, and sums stay in an int.
func parseExponent(text []byte) (int, bool) {
	if text[0] != 'e' && text[0] != 'E' {
		return 0, false
	}
	exponent, err := strconv.ParseInt(string(text[1:]), 10, 21)
	return int(exponent), err == nil || errors.Is(err, strconv.ErrRange)
}

// parseFloat reads what [parseNumber] reads, as the nearest value.
func parseFloat(text []byte, comma bool) (float64, bool) {
	if _, ok := parseNumber(text, comma); !ok {
		return 0, false
	}
	var copied [32]byte // most numbers fit, and the copy stays off the heap
	number := append(copied[:0], text...)
	if i := bytes.IndexByte(number, ','); i >= 0 {
		number[i] = '.'
	}
	v, err := strconv.ParseFloat(string(number), 64)
	if errors.Is(err, strconv.ErrSyntax) {
		return math.NaN(), true // "-nan", which strconv refuses
	}
	return v, true // ±Inf or 0 if it is out of range
}
