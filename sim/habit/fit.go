package habit

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// handFit is the likelihood of the mean and the standard deviation of a hand's
// holds, given the observed holds.
//
// A move shows at the first sample after it, and the phase of the samples is
// uniform. So a hold is observed with a triangular error or, in general, with
// the difference of two uniform delays. Behind a link, moves first show at its
// frames: a hold h appears q frames long with chance max(0, 1 − |q − h/F|). If
// frames are lost with chance l, start and end are late by geometric numbers of
// frames, whose difference is d with chance (1−l)/(1+l)·l^|d|. The samples then
// add their own delays. One observation in a hundred may be off the frames, as
// no link keeps them to the µs.
//
// A hold shorter than a sample or a frame may not be seen at all: the
// likelihood is conditional on being seen.
type handFit struct {
	seen  []sight
	frame float64
	late  []float64 // chance by the difference in lateness of start and end, in frames
	sd    float64   // of the observed holds
	delay float64   // the longest delay of a move
	least float64   // the least standard deviation of an error
}

// sight is an observed hold, with the variance of its error and how often it
// occurred.
type sight struct{ hold, downUnseen, upUnseen, variance, times float64 }

func newHandFit(observed []Held, link sim.LinkSpec) *handFit {
	f := &handFit{frame: float64(link.Frame), delay: float64(link.Frame), least: math.Inf(1)}
	late := link.Loss / (1 - link.Loss) / (1 - link.Loss) // variance of a geometric number
	counts := map[sight]float64{}
	var holds []sim.Micros
	for _, held := range observed {
		holds = append(holds, held.Hold)
		s := sight{hold: float64(max(1, held.Hold)), downUnseen: float64(max(1, held.DownUnseen)), upUnseen: float64(max(1, held.UpUnseen))}
		s.variance = (s.downUnseen*s.downUnseen+s.upUnseen*s.upUnseen)/12 + f.frame*f.frame*(1.0/6+2*late)
		counts[s]++
		f.least = min(f.least, math.Sqrt(s.variance))
		f.delay = max(f.delay, s.downUnseen, s.upUnseen)
	}
	for s, times := range counts {
		s.times = times
		f.seen = append(f.seen, s)
	}
	slices.SortFunc(f.seen, func(a, b sight) int { // makes the sum independent of the order of a map
		return cmp.Or(cmp.Compare(a.hold, b.hold), cmp.Compare(a.downUnseen, b.downUnseen), cmp.Compare(a.upUnseen, b.upUnseen))
	})
	for d, p := 0, (1-link.Loss)/(1+link.Loss); d == 0 || p > 1e-6; d, p = d+1, p*link.Loss {
		f.late = append(f.late, p)
	}
	f.sd = stat.Summarize(holds).SD
	return f
}

// dropFor95 is the drop in log-likelihood at the ends of the 95 % interval:
// half the 95 % quantile of χ² with one degree of freedom.
const dropFor95 = 1.9207

// best returns the mean and the standard deviation of the hand, and the 95 %
// interval of the latter. The standard deviation is the most likely one with
// the mean integrated out (restricted maximum likelihood), which for exact
// holds is the usual one with n − 1. It is 0 if the observations cannot
// distinguish it from 0.
func (f *handFit) best() (mean, sd float64, within stat.Interval) {
	low, high := math.Log(max(1, f.least/100)), math.Log(4*f.sd+3*f.least)
	at := func(logSD float64) float64 { l, _ := f.restricted(math.Exp(logSD)); return l }
	top := maximum(at, low, high)
	sd = math.Exp(top)
	most, mean := f.restricted(sd)
	drops := func(x float64) bool { return at(x) < most-dropFor95 }
	within.High = math.Exp(boundary(drops, top, high))
	if drops(low) {
		within.Low = math.Exp(boundary(drops, top, low))
	}
	if most-at(low) < 1e-3 {
		sd = 0
	}
	return mean, sd, within
}

// maximum returns where a function with one peak is highest; with several
// peaks, the highest that a coarse search finds.
func maximum(of func(float64) float64, low, high float64) float64 {
	const looks, narrowings = 16, 12
	step := (high - low) / looks
	top, most := low, math.Inf(-1)
	for i := range looks + 1 {
		if x := low + float64(i)*step; of(x) > most {
			top, most = x, of(x)
		}
	}
	low, high = max(low, top-step), min(high, top+step)
	for range narrowings {
		a, b := low+0.382*(high-low), low+0.618*(high-low)
		if of(a) < of(b) {
			low = a
		} else {
			high = b
		}
	}
	return (low + high) / 2
}

// boundary returns the point between from and to at which a condition, false at
// from, becomes true; to if it never does.
func boundary(holds func(float64) bool, from, to float64) float64 {
	if !holds(to) {
		return to
	}
	for range 12 {
		if middle := (from + to) / 2; holds(middle) {
			to = middle
		} else {
			from = middle
		}
	}
	return to
}

// restricted returns the logarithm of the likelihood of a standard deviation with
// the mean integrated out, and the mean that goes with it.
func (f *handFit) restricted(sd float64) (logLikelihood, mean float64) {
	const points = 25
	center, width := 0.0, 0.0
	for _, s := range f.seen {
		weight := s.times / (sd*sd + s.variance)
		width += weight
		center += weight * (s.hold - (s.upUnseen-s.downUnseen)/2)
	}
	center, width = center/width, 5/math.Sqrt(width)
	means, logs := make([]float64, points), make([]float64, points)
	for i := range means {
		means[i] = center + width*(2*float64(i)/(points-1)-1)
		logs[i] = f.logLikelihood(stat.Normal{Mean: means[i], SD: sd})
	}
	most := slices.Max(logs)
	total := 0.0
	for i, l := range logs {
		p := math.Exp(l - most)
		total += p
		mean += p * means[i]
	}
	return most + math.Log(total*width), mean / total
}

// logLikelihood returns the log-likelihood of a distribution of the hand's holds.
func (f *handFit) logLikelihood(n stat.Normal) (total float64) {
	frames := f.frames(n)
	for _, s := range f.seen {
		density := delayed(n, s.hold, s.downUnseen, s.upUnseen)
		shortest := (s.downUnseen + s.upUnseen) / 2
		if f.frame > 0 {
			shortest = max(shortest, f.frame)
			density = f.behindFrames(n, s, frames)
		}
		isSeen := (n.Excess(0) - n.Excess(shortest)) / shortest
		total += s.times * math.Log(max(density/isSeen, math.SmallestNonzeroFloat64))
	}
	return total
}

// offFrames is the chance that an observation does not fit the link's frames.
const offFrames = 0.01

// behindFrames returns the density of an observation behind a link.
func (f *handFit) behindFrames(n stat.Normal, s sight, frames map[int]float64) float64 {
	on := 0.0
	for k := int((s.hold - s.upUnseen) / f.frame); float64(k)*f.frame < s.hold+s.downUnseen; k++ {
		on += frames[k] * delays(s.hold-float64(k)*f.frame, s.downUnseen, s.upUnseen)
	}
	width := math.Sqrt(f.frame*f.frame + (s.downUnseen*s.downUnseen+s.upUnseen*s.upUnseen)/2) // of one triangle of that variance
	return (1-offFrames)*on + offFrames*delayed(n, s.hold, width, width)
}

// frames returns the chance of each number of frames that a hold can appear to
// last.
func (f *handFit) frames(n stat.Normal) map[int]float64 {
	if f.frame == 0 {
		return nil
	}
	first, last := f.seen[0], f.seen[len(f.seen)-1]
	from, to := max(1, int((first.hold-f.delay)/f.frame)), int((last.hold+f.delay)/f.frame)+1
	chances := map[int]float64{}
	for q := max(1, from-len(f.late)); q < to+len(f.late); q++ {
		at := float64(q) * f.frame
		chance := (n.Excess(at-f.frame) - 2*n.Excess(at) + n.Excess(at+f.frame)) / f.frame
		for d, late := range f.late {
			chances[q+d] += chance * late
			if d > 0 {
				chances[q-d] += chance * late
			}
		}
	}
	return chances
}

// delays returns the density of the difference e of two uniform delays, of the
// second move up to up and of the first up to down.
func delays(e, down, up float64) float64 {
	over := func(x float64) float64 { return max(0, x) }
	return (over(e+down) - over(e) - over(e+down-up) + over(e-up)) / down / up
}

// delayed returns the density at x of a normal distribution with the difference
// of two uniform delays added.
func delayed(n stat.Normal, x, down, up float64) float64 {
	if n.SD > 20*max(down, up) { // the difference below would drown in rounding errors
		sd := math.Sqrt(n.SD*n.SD + (down*down+up*up)/12)
		z := (x - n.Mean - (up-down)/2) / sd
		return math.Exp(-z*z/2) / sd / math.Sqrt(2*math.Pi)
	}
	return max(0, n.Excess(x+down)-n.Excess(x)-n.Excess(x+down-up)+n.Excess(x-up)) / down / up
}
