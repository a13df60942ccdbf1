package fit

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// dose counts the responses among the trials at one place: at least one trial,
// and no more responses than trials.
type dose struct {
	At                float64
	Trials, Responses int
}

// Curve is the chance of a response as F(Intercept + Slope·x), fitted by maximum
// likelihood.
type Curve struct {
	Shape            Shape
	Intercept, Slope float64
	// Covariance of the two, from the expected information: its diagonal has
	// the squared standard errors.
	Covariance [2][2]float64
	// LogLikelihood of the counts, binomial coefficients included.
	LogLikelihood float64
	// Deviance is twice the difference in log-likelihood to a model with a
	// separate chance for every dose; DegreesOfFreedom belong to it.
	Deviance         float64
	DegreesOfFreedom int
}

// The reasons for having no best curve.
var (
	// errNoOverlap: some place has all responses on one side and all others on the
	// other side, so the steeper a curve the better it fits.
	errNoOverlap = errors.New("no curve is best: no dose without a response lies above one with a response")
	// errFalling: the chance of a response does not rise.
	errFalling = errors.New("no rising curve fits: responses do not become more frequent")
	// errTooFarApart: the doses are so far apart that the arithmetic finds no best
	// curve.
	errTooFarApart = errors.New("no best curve was found: the doses are too far apart")
)

// fitCurve fits a rising curve.
func fitCurve(shape Shape, doses []dose) (*Curve, error) {
	sorted := sortDoses(doses)
	highest, lowest := overlap(sorted)
	if !(highest > lowest) {
		return nil, errNoOverlap
	}
	if falls(sorted) {
		return nil, errFalling
	}
	scale := scale{mean: (lowest + highest) / 2, spread: (highest - lowest) / 2}
	a, b, info, err := scoreToMaximum(shape, scale.apply(sorted))
	if err != nil {
		return nil, err
	}
	c := &Curve{Shape: shape, DegreesOfFreedom: len(sorted) - 2}
	c.Intercept, c.Slope, c.Covariance = scale.back(a, b, inverse(info))
	c.LogLikelihood = logLikelihood(shape, sorted, c.Intercept, c.Slope)
	c.Deviance = 2 * (saturated(sorted) - c.LogLikelihood)
	return c, nil
}

// Response returns the chance, 0 to 1, of a response at x.
func (c *Curve) Response(x float64) float64 { return c.Shape.chance(c.Intercept + c.Slope*x) }

// Threshold returns the place at which the chance of a response is one half,
// and its standard error by the delta method.
func (c *Curve) Threshold() (at, se float64) {
	at = -c.Intercept / c.Slope
	v := c.Covariance
	return at, math.Sqrt(v[0][0]+2*at*v[0][1]+at*at*v[1][1]) / c.Slope
}

// Spread returns the standard deviation of the curve taken as a distribution of
// thresholds.
func (c *Curve) Spread() float64 { return c.Shape.deviation() / c.Slope }

// Interval is a closed interval of places; its ends may be infinite.
type Interval struct{ Low, High float64 }

// Fieller returns the interval of the threshold by Fieller's theorem; it is
// unbounded if the slope is not significantly above 0. Source: D. J. Finney,
// Probit Analysis, chapter 4.
func (c *Curve) Fieller(confidence float64) Interval {
	z := distuv.UnitNormal.Quantile(0.5 + confidence/2)
	v := c.Covariance
	at, _ := c.Threshold()
	g := z * z * v[1][1] / (c.Slope * c.Slope)
	if g >= 1 {
		return Interval{math.Inf(-1), math.Inf(1)}
	}
	middle := at + g/(1-g)*(at+v[0][1]/v[1][1])
	reach := z / (c.Slope * (1 - g)) * math.Sqrt(v[0][0]+2*at*v[0][1]+at*at*v[1][1]-g*(v[0][0]-v[0][1]*v[0][1]/v[1][1]))
	return Interval{middle - reach, middle + reach}
}

// flattest is the least slope, per half of the overlap, of a rising curve:
// below it the threshold is a million such halves away.
const flattest = 1e-6

// scoreToMaximum finds intercept and slope by Fisher scoring, and the expected
// information there. It starts at a slope at which doses far from the overlap are
// certain and have no weight. As the log-likelihood is concave, it is enough to
// halve a step that goes too far.
func scoreToMaximum(shape Shape, doses []dose) (a, b float64, info [2][2]float64, err error) {
	b = 1
	best := logLikelihood(shape, doses, a, b)
	for range 200 {
		var score [2]float64
		score, info = scoreAndInformation(shape, doses, a, b)
		step := solve(info, score)
		for size := 1.0; ; size /= 2 {
			next := logLikelihood(shape, doses, a+size*step[0], b+size*step[1])
			if next >= best-1e-10*math.Abs(best) || size < 1e-10 { // apart from rounding
				a, b, best = a+size*step[0], b+size*step[1], next
				break
			}
		}
		if math.Abs(step[0])+math.Abs(step[1]) < 1e-11*(1+math.Abs(a)+math.Abs(b)) {
			_, info = scoreAndInformation(shape, doses, a, b)
			if b < flattest {
				return a, b, info, errFalling
			}
			return a, b, info, nil
		}
	}
	if b < flattest {
		return a, b, info, errFalling
	}
	return a, b, info, errTooFarApart
}

// scoreAndInformation returns the gradient of the log-likelihood and the
// expected information.
func scoreAndInformation(shape Shape, doses []dose, a, b float64) (score [2]float64, info [2][2]float64) {
	for _, d := range doses {
		eta := a + b*d.At
		pull := d.pull(shape, eta)
		weight := float64(d.Trials) * shape.information(eta)
		score[0] += pull
		score[1] += pull * d.At
		info[0][0] += weight
		info[0][1] += weight * d.At
		info[1][1] += weight * d.At * d.At
	}
	info[1][0] = info[0][1]
	return score, info
}

// pull is the derivative of the log-likelihood of a dose by η.
func (d dose) pull(shape Shape, eta float64) float64 {
	return float64(d.Responses)*shape.hazard(-eta) - float64(d.Trials-d.Responses)*shape.hazard(eta)
}

// information is the expected information of one trial at η about η.
func (s Shape) information(eta float64) float64 { return s.hazard(eta) * s.hazard(-eta) }

// logLikelihood returns that of the line η = a + b·x.
func logLikelihood(shape Shape, doses []dose, a, b float64) float64 {
	sum := 0.0
	for _, d := range doses {
		eta := a + b*d.At
		sum += logChoose(d.Trials, d.Responses) +
			float64(d.Responses)*shape.logChance(eta) + float64(d.Trials-d.Responses)*shape.logChance(-eta)
	}
	return sum
}

// saturated is the log-likelihood of a model with a separate chance for every
// dose.
func saturated(doses []dose) float64 {
	sum := 0.0
	for _, d := range doses {
		n, k := float64(d.Trials), float64(d.Responses)
		sum += logChoose(d.Trials, d.Responses)
		if k > 0 {
			sum += k * math.Log(k/n)
		}
		if k < n {
			sum += (n - k) * math.Log1p(-k/n)
		}
	}
	return sum
}

func logChoose(n, k int) float64 {
	lg := func(m int) float64 { v, _ := math.Lgamma(float64(m) + 1); return v }
	return lg(n) - lg(k) - lg(n-k)
}

func inverse(m [2][2]float64) [2][2]float64 {
	det := m[0][0]*m[1][1] - m[0][1]*m[1][0]
	return [2][2]float64{{m[1][1] / det, -m[0][1] / det}, {-m[1][0] / det, m[0][0] / det}}
}

func solve(m [2][2]float64, v [2]float64) [2]float64 {
	i := inverse(m)
	return [2]float64{i[0][0]*v[0] + i[0][1]*v[1], i[1][0]*v[0] + i[1][1]*v[1]}
}
