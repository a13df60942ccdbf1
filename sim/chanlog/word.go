package chanlog

import (
	"encoding/binary"
	"math/bits"
)

// Eight bytes at a time: a word holds them with the first in its low byte.
const (
	eachByte = 0x0101010101010101
	highBits = eachByte * 0x80
	lowBits  = eachByte * 0x7f
)

// zeroBytes returns the high bit of each byte that is 0, exactly.
func zeroBytes(x uint64) uint64 { return ^((x&lowBits + lowBits) | x) & highBits }

// behind returns the offset after the n-th delimiter from an offset on, -1 if
// there are too few.
func behind(line []byte, at, n int, delim byte) int {
	pattern := uint64(delim) * eachByte
	for ; at+8 <= len(line); at += 8 {
		hits := zeroBytes(binary.LittleEndian.Uint64(line[at:]) ^ pattern)
		if here := bits.OnesCount64(hits); here < n {
			n -= here
			continue
		}
		for ; n > 1; n-- {
			hits &= hits - 1
		}
		return at + bits.TrailingZeros64(hits)/8 + 1
	}
	for ; at < len(line); at++ {
		if line[at] == delim {
			if n--; n == 0 {
				return at + 1
			}
		}
	}
	return -1
}

// decimal is a number without an exponent.
type decimal struct {
	mantissa uint64 // meaningful up to maxPlainDigits digits
	digits   int    // of the mantissa, leading zeros included
	decimals int    // digits after the point
	negative bool
}

// maxPlainDigits is the most digits that always fit the 53 bits of a float64.
const maxPlainDigits = 15

// scanDecimal reads the decimal at an offset and returns where it ends. The
// caller checks what follows, and that there are any digits.
func scanDecimal(data []byte, at int) (n decimal, end int) {
	if at < len(data) && data[at] == ' ' {
		at++
	}
	if at < len(data) && data[at] == '-' {
		n.negative = true
		at++
	}
	at = n.scanDigits(data, at)
	if at < len(data) && data[at] == '.' {
		whole := n.digits
		at = n.scanDigits(data, at+1)
		n.decimals = n.digits - whole
	}
	return n, at
}

// scanDigits appends the digits at an offset to the mantissa.
func (n *decimal) scanDigits(data []byte, at int) int {
	for at+8 <= len(data) {
		digits, count := leadingDigits(binary.LittleEndian.Uint64(data[at:]))
		n.mantissa = n.mantissa*powers[count] + digits
		n.digits += count
		at += count
		if count < 8 {
			return at
		}
	}
	for ; at < len(data) && data[at]-'0' <= 9; at++ {
		n.mantissa = n.mantissa*10 + uint64(data[at]-'0')
		n.digits++
	}
	return at
}

// leadingDigits returns the number that the leading digits of a word form, and
// their count.
func leadingDigits(word uint64) (value uint64, count int) {
	x := word ^ eachByte*'0'
	count = bits.TrailingZeros64(above9(x)) / 8
	return joinDigits(x << (64 - 8*uint(count))), count
}

// maxFixedDigits is how many digits fit two words.
const maxFixedDigits = 16

// fixedDigits returns the number that count bytes form, 1 to maxFixedDigits;
// others is not 0 if one is not a digit. It reads two words.
func fixedDigits(data []byte, count int) (value, others uint64) {
	x := wordDigits(data, min(count, word))
	if count <= word {
		return joinDigits(x), above9(x)
	}
	y := wordDigits(data[word:], count-word)
	return joinDigits(x)*powers[count-word] + joinDigits(y), above9(x) | above9(y)
}

// wordDigits returns 1 to 8 digits, one per byte, with zeros before them.
func wordDigits(data []byte, count int) uint64 {
	return (binary.LittleEndian.Uint64(data) ^ eachByte*'0') << ((64 - 8*uint(count)) & 63)
}

// above9 returns the high bit of each byte that is above 9, exactly.
func above9(x uint64) uint64 { return ((x&lowBits + eachByte*(0x80-10)) | x) & highBits }

// joinDigits returns the number that eight digits form, one per byte. It joins
// digits into pairs, pairs into fours, and fours into the whole.
func joinDigits(x uint64) uint64 {
	x = (x*10 + x>>8) & 0x00ff00ff00ff00ff
	x = (x*100 + x>>16) & 0x0000ffff0000ffff
	return (x*10000 + x>>32) & 0xffffffff
}

// micros is number.micros for a decimal.
func (n decimal) micros(t tick) (int64, bool) {
	if t == (tick{1, 0}) && n.decimals == 0 {
		if n.negative {
			return -int64(n.mantissa), true
		}
		return int64(n.mantissa), true
	}
	return number{negative: n.negative, mantissa: n.mantissa, exponent: -n.decimals}.micros(t)
}

// float is number.float for a decimal of at most maxPlainDigits digits.
func (n decimal) float() float64 {
	v := float64(n.mantissa)
	if n.decimals > 0 {
		v /= float64(int64(powers[n.decimals]))
	}
	if n.negative {
		return -v
	}
	return v
}
