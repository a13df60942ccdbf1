package stat

import "math"

// Normal is a normal distribution; SD is more than 0.
type Normal struct{ Mean, SD float64 }

// AtLeast returns P(X ≥ c).
func (n Normal) AtLeast(c float64) float64 {
	return math.Erfc((c-n.Mean)/n.SD/math.Sqrt2) / 2
}

// Excess returns E[max(X−c, 0)]: (μ−c)·Φ((μ−c)/σ) + σ·φ((μ−c)/σ), by parts.
func (n Normal) Excess(c float64) float64 {
	z := (n.Mean - c) / n.SD
	return (n.Mean-c)*n.AtLeast(c) + n.SD*math.Exp(-z*z/2)/math.Sqrt(2*math.Pi)
}
