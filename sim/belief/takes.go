package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// explainClips pairs the clips with the takes of the shown replays in the
// likeliest way, and adds findings about those left over.
func explainClips(results []*Result, c *card) {
	for i, pairs := range c.pair(results) {
		r := results[i]
		r.Pairs = pairs
		endsUnknown := r.Replay.StateAt(r.Replay.End) == sim.StateUnknown
		r.Unexplained += unexplained(pairs, endsUnknown)
		r.explainPairs(c.clips, endsUnknown)
	}
}

// matched is a way to match the takes so far, as a step of a Viterbi search.
type matched struct {
	state  listState
	weight float64 // logarithm
	before int     // index of the way to match the takes before
	clip   int     // of the take, -1 if none
}

// pair returns the likeliest matching of clips and takes, by flight. A clip without
// a take belongs to the flight of the next take, or to the last flight.
func (c *card) pair(results []*Result) [][]Pair {
	last := []matched{{state: newListState()}}
	history, takesLeft := [][]matched{last}, 0
	for _, r := range results {
		takesLeft += len(r.Replay.Takes)
	}
	for _, r := range results {
		for i := range last {
			last[i].state.low, last[i].state.high = -anyTime, anyTime
		}
		for _, t := range r.Replay.Takes {
			last = c.matchTake(last, r, t, takesLeft)
			takesLeft--
			history = append(history, last)
		}
		unknown := r.Replay.StateAt(r.Replay.End) == sim.StateUnknown
		for i := range last {
			last[i].state.free = last[i].state.free || unknown
		}
	}
	best := largest(len(last), func(i int) float64 {
		return last[i].weight + float64(c.clipsLeft(last[i].state))*math.Log(c.foreign)
	})
	clips := make([]int, len(history)-1)
	for i := len(history) - 1; i > 0; i-- {
		clips[i-1], best = history[i][best].clip, history[i][best].before
	}
	return c.pairsOf(results, clips)
}

// matchTake matches one more take in every way worth following. takesLeft is how
// many takes remain, this one included.
func (c *card) matchTake(before []matched, r *Result, t sim.Take, takesLeft int) []matched {
	const mostWays = 400
	index := map[listState]int{}
	var ways []matched
	for i, m := range before {
		m.state.fromStart = t.Start == 0 && r.Replay.States[0].State == sim.StateRecording
		for _, o := range c.take(m.state, t.Start*finer, t.End*finer, cutAtEnd(t), takesLeft, nil) {
			way := matched{o.state, m.weight + math.Log(o.weight) + float64(o.skipped)*math.Log(c.foreign), i, -1}
			if o.state.next != m.state.next {
				way.clip = int(o.state.next) - 1
				way.weight -= c.misfit(way.clip, t)
			}
			if at, known := index[o.state]; !known {
				index[o.state] = len(ways)
				ways = append(ways, way)
			} else if way.weight > ways[at].weight {
				ways[at] = way
			}
		}
	}
	if len(ways) > mostWays {
		// Clips that are sure to have no take count now, as in the trellis.
		bound := func(m matched) float64 {
			return m.weight + float64(c.surplus(m.state, takesLeft-1))*math.Log(c.foreign)
		}
		slices.SortStableFunc(ways, func(a, b matched) int { return cmp.Compare(bound(b), bound(a)) })
		ways = ways[:mostWays]
	}
	return ways
}

// misfit is a small penalty that prefers, among equally likely matchings, the one
// whose lengths differ least.
func (c *card) misfit(clip int, t sim.Take) float64 {
	const aSecond, most = 1e-7, sim.Hour
	off := c.err / finer // for an unknown length
	if !c.clips[clip].NoLength {
		off = max(c.clips[clip].Length-t.Length(), t.Length()-c.clips[clip].Length)
	}
	return aSecond * min(off, most).Seconds()
}

// pairsOf returns the pairs by flight, given the clip of each take (-1 for none),
// and adds the takes and clips without a partner.
func (c *card) pairsOf(results []*Result, clips []int) [][]Pair {
	all := make([][]Pair, len(results))
	next := 0
	for i, r := range results {
		for k := range r.Replay.Takes {
			clip := clips[k]
			for ; next < clip; next++ {
				all[i] = append(all[i], Pair{Clip: next + 1})
			}
			all[i] = append(all[i], Pair{Clip: clip + 1, Take: k + 1})
			next = max(next, clip+1)
		}
		clips = clips[len(r.Replay.Takes):]
		if all[i] == nil {
			all[i] = []Pair{}
		}
	}
	for last := len(all) - 1; next < len(c.clips); next++ {
		all[last] = append(all[last], Pair{Clip: next + 1})
	}
	return all
}

// Limits for counting takes. The number is asked for only if a person can count
// that many; its chances are computed for some representative pairs of
// thresholds.
const (
	mostCounted  = 200 // presses
	countsPoints = 64
)

// countTakes returns the chance of each number of takes in a flight; nil if the
// card was read, or if there are several flights or too many takes to count.
func (e *estimator) countTakes() []float64 {
	if e.card != nil || e.presses() > mostCounted || len(e.flights) > 1 {
		return nil
	}
	counts := make([]float64, e.presses()+2)
	sum, next := 0.0, 0.5/countsPoints
	for t := range e.trellises() {
		for a := t.from; a < t.to; a++ {
			for b := range e.longs {
				sum += e.weights[a][b]
				times := 0
				for ; next < sum; next += 1.0 / countsPoints {
					times++
				}
				if times > 0 {
					for n, w := range t.takeCounts(a, b, len(counts)) {
						counts[n] += w * float64(times) / countsPoints
					}
				}
			}
		}
	}
	return counts
}

// takeCounts returns the chance of each number of takes below a limit, for the
// thresholds at two grid points.
func (t *trellis) takeCounts(a, b, limit int) []float64 {
	from := [][]float64{make([]float64, limit)}
	from[0][0] = 1
	for i := range t.stages {
		s := &t.stages[i]
		chances := s.chances(a, b)
		to := make([][]float64, t.nodesAfter(i))
		for k := range to {
			to[k] = make([]float64, limit)
		}
		sum := 0.0
		for _, branches := range s.branches(b) {
			for _, x := range branches {
				ended := t.behaviours[x.behaviour].takesEnded
				w := chances[x.outcome] * x.weight
				for n := 0; w > 0 && n+ended < limit; n++ {
					to[x.to][n+ended] += from[x.from][n] * w
					sum += from[x.from][n] * w
				}
			}
		}
		for _, counts := range to {
			for n := range counts {
				counts[n] /= sum
			}
		}
		from = to
	}
	return from[0]
}
