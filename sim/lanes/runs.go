package lanes

import "flicktally/sim"

// Runs joins successive bins of a trace with equal values, and then joins pairs
// until at most most are left.
func Runs(bins []sim.TraceBin, most int) []sim.TraceBin {
	runs := joinEqual(bins)
	for len(runs) > max(1, most) {
		pairs := make([]sim.TraceBin, 0, (len(runs)+1)/2)
		for i := 0; i < len(runs); i += 2 {
			pair := runs[i]
			if i+1 < len(runs) {
				pair = joinBins(pair, runs[i+1])
			}
			pairs = append(pairs, pair)
		}
		runs = joinEqual(pairs)
	}
	return runs
}

func joinEqual(bins []sim.TraceBin) []sim.TraceBin {
	var runs []sim.TraceBin
	for _, b := range bins {
		if n := len(runs); n > 0 && sameValues(runs[n-1], b) {
			runs[n-1].To = b.To
		} else {
			runs = append(runs, b)
		}
	}
	return runs
}

func sameValues(a, b sim.TraceBin) bool {
	return a.Absent() && b.Absent() || a.Low == b.Low && a.High == b.High
}

// joinBins joins two bins; a value outweighs an absent one.
func joinBins(a, b sim.TraceBin) sim.TraceBin {
	switch {
	case a.Absent():
		a.Low, a.High = b.Low, b.High
	case !b.Absent():
		a.Low, a.High = min(a.Low, b.Low), max(a.High, b.High)
	}
	a.To = b.To
	return a
}
