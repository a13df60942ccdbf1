package stat

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// WelchP returns the two-sided p-value of Welch's test that two samples come
// from populations with the same mean, whatever their spreads. It is 1 if
// either has fewer than two measurements.
//
// Source: B. L. Welch, Biometrika 34 (1947) 28; NIST/SEMATECH e-Handbook of
// Statistical Methods, 1.3.5.3.
func WelchP(a, b Summary) float64 {
	if a.N < 2 || b.N < 2 {
		return 1
	}
	va, vb := a.SD*a.SD/float64(a.N), b.SD*b.SD/float64(b.N)
	freedom := (va + vb) * (va + vb) / (va*va/float64(a.N-1) + vb*vb/float64(b.N-1))
	return studentP(a.Mean-b.Mean, math.Sqrt(va+vb), freedom)
}

// studentP returns the two-sided p-value of a difference with a standard error.
// Samples without any spread differ for certain or not at all.
func studentP(difference, standardError, freedom float64) float64 {
	switch {
	case difference == 0:
		return 1
	case standardError == 0:
		return 0
	}
	t := math.Abs(difference) / standardError
	return 2 * distuv.StudentsT{Sigma: 1, Nu: freedom}.Survival(t)
}

// BrownForsytheP returns the p-value of the test that two samples come from
// populations with the same spread. It compares their distances from their
// medians, so that a few outliers do not decide it. It is 1 if either has fewer
// than two measurements.
//
// Source: M. B. Brown and A. B. Forsythe, JASA 69 (1974) 364; NIST/SEMATECH
// e-Handbook of Statistical Methods, 1.3.5.10.
func BrownForsytheP[T ~int64 | ~float64](a, b []T) float64 {
	if len(a) < 2 || len(b) < 2 {
		return 1
	}
	x, y := Summarize(distances(a)), Summarize(distances(b))
	n, m := float64(x.N), float64(y.N)
	variance := ((n-1)*x.SD*x.SD + (m-1)*y.SD*y.SD) / (n + m - 2)
	return studentP(x.Mean-y.Mean, math.Sqrt(variance*(1/n+1/m)), n+m-2)
}

// distances returns how far values lie from their median.
func distances[T ~int64 | ~float64](values []T) []float64 {
	x := floats(values)
	middle := middle(x)
	for i, v := range x {
		x[i] = math.Abs(v - middle)
	}
	return x
}

// minus returns Newcombe's hybrid score interval of the difference between two
// chances, r's minus the other's.
//
// Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 873, method 10.
func (r Rate) minus(other Rate, confidence float64) Interval {
	if r.Trials == 0 || other.Trials == 0 {
		return Interval{-1, 1}
	}
	p, q := r.Value(), other.Value()
	a, b := r.Wilson(confidence), other.Wilson(confidence)
	return Interval{
		p - q - math.Hypot(p-a.Low, b.High-q),
		p - q + math.Hypot(a.High-p, q-b.Low),
	}
}

// DiffersP returns the p-value that matches Newcombe's interval: the interval
// excludes 0 at every confidence below 1 − p.
func (r Rate) DiffersP(other Rate) float64 {
	leavesZeroOut := func(p float64) bool {
		i := r.minus(other, 1-p)
		return i.Low > 0 || i.High < 0
	}
	low, high := 1e-9, 1-1e-9
	if !leavesZeroOut(high) {
		return 1
	}
	for high-low > 1e-9 {
		if middle := (low + high) / 2; leavesZeroOut(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// Holm says which of several tests are significant when the chance of any false
// alarm must be at most alpha.
//
// Source: S. Holm, Scandinavian Journal of Statistics 6 (1979) 65.
func Holm(pValues []float64, alpha float64) []bool {
	order := make([]int, len(pValues))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return cmp.Compare(pValues[i], pValues[j]) })
	found := make([]bool, len(pValues))
	for step, i := range order {
		if pValues[i] > alpha/float64(len(pValues)-step) {
			break
		}
		found[i] = true
	}
	return found
}
