package odds

import (
	"math/bits"

	"flicktally/sim"
)

// source is a stream of random bits: xoshiro256++ 1.0 (D. Blackman and S. Vigna,
// Scrambled Linear Pseudorandom Number Generators, 2018 to 2021, arXiv
// 1805.01407). It is a value that its steps hand on, of no more than four words, so
// that the compiler keeps it in registers for as long as a loop draws from it.
type source struct{ a, b, c, d uint64 }

// splitMix is the generator that seeds sources, as the authors of xoshiro advise:
// SplitMix64 (G. Steele, D. Lea and C. Flood, Fast Splittable Pseudorandom Number
// Generators, 2014, doi 10.1145/2660193.2660195).
type splitMix uint64

// golden is the step of splitMix, 2⁶⁴ over the golden ratio and odd: so many steps
// further is so many times this further.
const golden = 0x9e3779b97f4a7c15

func (s *splitMix) next() uint64 {
	*s += golden
	z := uint64(*s)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// sourceWords is how many words of seed a source takes.
const sourceWords = 4

func (s *splitMix) source() source {
	return source{s.next(), s.next(), s.next(), s.next()}
}

// next returns 64 random bits, and the source after them.
func (s source) next() (uint64, source) {
	u := bits.RotateLeft64(s.a+s.d, 23) + s.a
	c, d := s.c^s.a, s.d^s.b
	return u, source{s.a ^ d, s.b ^ c, c ^ s.b<<17, bits.RotateLeft64(d, 45)}
}

// Uint64 makes a source of [math/rand/v2] of it, for what is not drawn in a loop.
func (s *source) Uint64() (u uint64) {
	u, *s = s.next()
	return u
}

// unit draws a real number between 0 and 1, neither of them included.
func (s source) unit() (float64, source) {
	u, s := s.next()
	return (float64(u>>12) + 0.5) / (1 << 52), s
}

// below makes of 64 random bits a whole number, uniform from 0 to less than n, by
// multiplying instead of dividing (D. Lemire, Fast Random Integer Generation in an
// Interval, 2019, doi 10.1145/3230636); 0 for n = 0. What he rejects to be exact is
// less than one draw in 2⁶⁴/n.
func below(n sim.Micros, u uint64) sim.Micros {
	high, _ := bits.Mul64(u, uint64(n))
	return sim.Micros(high)
}

// below draws such a number.
func (s *source) below(n sim.Micros) sim.Micros { return below(n, s.Uint64()) }

// runs tells how often in a row something happens that has one chance each time.
type runs struct {
	// The chances of runs of at least 1, 2, 3, and of more, in units of 2⁻⁶³, down
	// to 0.
	few  [3]uint64
	more []uint64
}

func newRuns(chance float64) runs {
	const one = 1 << 63
	var r runs
	p := chance
	for i := range r.few {
		r.few[i] = uint64(p * one)
		p *= chance
	}
	for ; p*one >= 1; p *= chance {
		r.more = append(r.more, uint64(p*one))
	}
	r.more = append(r.more, 0)
	return r
}

// happen reports whether there are runs at all.
func (r *runs) happen() bool { return r.few[0] > 0 }

// of makes of 64 random bits the length of a run; without a branch that chance
// decides where it is short, as nearly all are.
func (r *runs) of(u uint64) sim.Micros {
	u >>= 1
	run := (u-r.few[0])>>63 + (u-r.few[1])>>63 + (u-r.few[2])>>63
	if run == 3 {
		run += r.further(u)
	}
	return sim.Micros(run)
}

func (r *runs) further(u uint64) (run uint64) {
	for u < r.more[run] {
		run++
	}
	return run
}
