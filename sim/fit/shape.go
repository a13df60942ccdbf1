package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Shape is the shape of a response curve.
type Shape string

// The shapes. A threshold that jitters normally gives a probit curve; the
// logistic one has heavier tails and is the usual choice.
const (
	Logistic Shape = "logistic"
	probit   Shape = "probit"
)

// Shapes lists the shapes.
var Shapes = []Shape{Logistic, probit}

// Both shapes are symmetric: F(−η) = 1 − F(η).

// chance is the distribution function F.
func (s Shape) chance(eta float64) float64 {
	if s == probit {
		return distuv.UnitNormal.CDF(eta)
	}
	return 1 / (1 + math.Exp(-eta))
}

// farOut is where the normal distribution function underflows. Its tail there
// is the density divided by the distance.
const farOut = 37

// logChance is log F, accurate far out too.
func (s Shape) logChance(eta float64) float64 {
	switch {
	case s == probit && eta < -farOut:
		return distuv.UnitNormal.LogProb(eta) - math.Log(-eta)
	case s == probit:
		return math.Log(distuv.UnitNormal.CDF(eta))
	case eta < 0:
		return eta - math.Log1p(math.Exp(eta))
	default:
		return -math.Log1p(math.Exp(-eta))
	}
}

// hazard is F'(η)/(1 − F(η)).
func (s Shape) hazard(eta float64) float64 {
	switch {
	case s == probit && eta > farOut:
		return eta
	case s == probit:
		return distuv.UnitNormal.Prob(eta) / distuv.UnitNormal.CDF(-eta)
	default:
		return s.chance(eta)
	}
}

// deviation is the standard deviation of F.
func (s Shape) deviation() float64 {
	if s == probit {
		return 1
	}
	return math.Pi / math.Sqrt(3)
}
