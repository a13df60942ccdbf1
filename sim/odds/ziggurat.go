package odds

import (
	"math"
	"sync"

	"flicktally/sim"
)

// ziggurat draws from the normal distribution: layers of equal area cover the
// right half of exp(−x²/2), and a point of a random layer is nearly always below
// the curve without asking (G. Marsaglia and W. W. Tsang, The Ziggurat Method for
// Generating Random Variables, Journal of Statistical Software 5(8), 2000, doi
// 10.18637/jss.v005.i08). Layer and point have bits of their own, as J. A. Doornik
// asks (An Improved Ziggurat Method to Generate Normal Random Samples, 2005).
type ziggurat struct {
	// Of each layer there are two sides, right and left of 0.
	scale  [2 * layers]float64 // makes of 52 bits a point of the side
	sure   [2 * layers]uint64  // lower bits than these are below the curve
	edge   [layers]float64     // where the layer above ends
	height [layers]float64     // of the curve there
}

// The layers, and where the tail begins that belongs to the lowest of them, from
// Marsaglia and Tsang.
const (
	layers = 256
	tail   = 3.6541528853610088
)

// theZiggurat is made when it is first asked for: who draws nothing does not wait
// for it.
var theZiggurat = sync.OnceValue(newZiggurat)

func newZiggurat() *ziggurat {
	z := new(ziggurat)
	height, edge := math.Exp(-tail*tail/2), tail
	area := tail*height + math.Sqrt(math.Pi/2)*math.Erfc(tail/math.Sqrt2)
	width := area / height // the tail is made part of the lowest layer's box
	for i := range layers {
		z.edge[i], z.height[i] = edge, height
		z.scale[2*i], z.scale[2*i+1] = width/(1<<52), -width/(1<<52)
		z.sure[2*i] = uint64(edge / width * (1 << 52))
		z.sure[2*i+1] = z.sure[2*i]
		width, height = edge, min(1, height+area/edge)
		edge = math.Sqrt(-2 * math.Log(height))
	}
	return z
}

// point makes of 64 random bits a side of a layer and a point of it.
func (z *ziggurat) point(u uint64) (side uint64, x float64, sure bool) {
	side, bits := u%(2*layers), u>>12
	return side, float64(int64(bits)) * z.scale[side], bits < z.sure[side]
}

// fillHolds draws holds in whole µs; 0 or less = no press.
func (z *ziggurat) fillHolds(s *source, mean, sd float64, holds []sim.Micros) {
	now := *s
	mean += 0.5 // because the fraction is cut off
	for i := range holds {
		var u uint64
		u, now = now.next()
		side, x, sure := z.point(u)
		if !sure {
			x, now = z.atEdge(side, x, now)
		}
		off := float64(sd * x) // the conversion keeps machines from fusing it with the sum
		holds[i] = sim.Micros(mean + off)
	}
	*s = now
}

// atEdge takes a point that may be above the curve if it is not, and else draws
// others until one is taken.
func (z *ziggurat) atEdge(side uint64, x float64, s source) (float64, source) {
	for sure := false; !sure; {
		layer := side / 2
		if layer == 0 {
			return beyond(math.Copysign(tail, x), s)
		}
		var up float64
		up, s = s.unit()
		if z.height[layer-1]+up*(z.height[layer]-z.height[layer-1]) < math.Exp(-x*x/2) {
			return x, s
		}
		var u uint64
		u, s = s.next()
		side, x, sure = z.point(u)
	}
	return x, s
}

// beyond draws from the tail that begins at from, on its side of 0 (G. Marsaglia,
// Generating a Variable from the Tail of the Normal Distribution, Technometrics
// 6, 1964).
func beyond(from float64, s source) (float64, source) {
	for {
		var a, b float64
		a, s = s.unit()
		b, s = s.unit()
		if further := -math.Log(a) / tail; -2*math.Log(b) > further*further {
			return from + math.Copysign(further, from), s
		}
	}
}
