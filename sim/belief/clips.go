package belief

import (
	"math"

	"flicktally/sim"
)

// Pair matches a clip with a take, both numbered from 1. Clip is 0 for a take
// without a file, Take is 0 for a file without a take.
type Pair struct{ Clip, Take int }

// maxPairs limits the clips times the takes of one comparison, and thus the
// memory. maxClipWork limits the comparisons of a clip with a take over all cells,
// and thus the time to about ten seconds.
const (
	maxPairs    = 1 << 20
	maxClipWork = 100_000_000
)

// matcher matches clips with the takes of cells.
type matcher struct {
	clips []Clip
	err   sim.Micros
	left  int // how many more comparisons are allowed
}

// spent reports whether there were too many clips and takes to match; the results
// are then meaningless.
func (m *matcher) spent() bool { return m.left < 0 }

// whole returns the part of a region in which the takes match all clips, one by
// one.
func (m *matcher) whole(c *cell, r region) region {
	if len(m.clips) != len(c.takes) && !(c.endsUnknown() && len(m.clips) > len(c.takes)) {
		return region{}
	}
	for i, t := range c.takes {
		m.left -= i
		if r = m.whereLengthFits(r, m.clips[i], t); r.empty() || m.spent() {
			return region{}
		}
		for j := range i {
			if r = m.whereGapFits(r, m.clips[j], c.takes[j], m.clips[i], t); r.empty() {
				return r
			}
		}
	}
	return r
}

// whereLengthFits returns the part of a region in which a clip and a take agree
// in length; a clip of unknown length fits any take.
func (m *matcher) whereLengthFits(r region, c Clip, t take) region {
	if c.NoLength {
		return r
	}
	r = r.whereOrdered(t.end, t.start.plus(c.Length+m.err))
	if t.openStart || t.openEnded || r.empty() {
		return r
	}
	return r.whereOrdered(t.start.plus(c.Length-m.err), t.end)
}

// whereGapFits returns the part of a region in which the times between the starts
// of two clips and of two takes agree, a before b.
func (m *matcher) whereGapFits(r region, a Clip, ta take, b Clip, tb take) region {
	if !a.HasStart || !b.HasStart {
		return r
	}
	gap := b.Start - a.Start
	r = r.whereOrdered(tb.start, ta.start.plus(gap+m.err))
	if ta.openStart || r.empty() {
		return r
	}
	return r.whereOrdered(ta.start.plus(gap-m.err), tb.start)
}

// nearest pairs as many clips as possible with takes in the same order, if not all
// can be paired. It returns the part of the region in which the pairs fit, and
// the pairs in order. Of equally many pairs it prefers those whose lengths differ
// least at the middle of the region. It may miss a matching that leaves more than
// limit unexplained.
func (m *matcher) nearest(c *cell, r region, limit int) (region, []Pair) {
	if len(m.clips)*len(c.takes) > maxPairs {
		m.left = -1
	}
	if m.spent() {
		return r, nil
	}
	limit = min(limit, len(m.clips)+len(c.takes))
	lengthFits := m.lengthsThatFit(c, r)
	best := m.align(c, r, lengthFits, nil)
	for i, clip := range m.clips {
		if !clip.HasStart {
			continue
		}
		if i > limit {
			break // an earlier clip is paired
		}
		for j := range c.takes {
			if j > i+limit || j < i-limit || !lengthFits[i][j] {
				continue
			}
			if m.spent() {
				return best.region, nil
			}
			// The clock's offset makes this clip start with this take.
			if a := m.align(c, r, lengthFits, &Pair{i, j}); a.betterThan(best) {
				best = a
			}
		}
	}
	return best.region, m.withUnpaired(best.pairs, len(c.takes))
}

// lengthsThatFit returns, for each clip and take, whether their lengths agree
// anywhere in the region.
func (m *matcher) lengthsThatFit(c *cell, r region) [][]bool {
	fits := make([][]bool, len(m.clips))
	for i, clip := range m.clips {
		fits[i] = make([]bool, len(c.takes))
		for j, t := range c.takes {
			fits[i][j] = !m.whereLengthFits(r, clip, t).empty()
		}
	}
	return fits
}

// alignment is a way to pair clips with takes. Its pairs count from 0.
type alignment struct {
	region region
	pairs  []Pair
	misfit float64
}

func (a alignment) betterThan(b alignment) bool {
	if len(a.pairs) != len(b.pairs) {
		return len(a.pairs) > len(b.pairs)
	}
	return a.misfit < b.misfit
}

// align pairs as many clips with takes as fit, by the longest common subsequence.
// With an anchor, it pairs only those whose starts agree with the anchor's. It
// drops a pair that fits alone but not together with the earlier ones.
func (m *matcher) align(c *cell, r region, lengthFits [][]bool, anchor *Pair) alignment {
	m.left -= len(m.clips) * len(c.takes)
	fits := func(i, j int) bool {
		return lengthFits[i][j] && (anchor == nil || !m.whereInStep(r, c, *anchor, Pair{i, j}).empty())
	}
	candidate := longestAlignment(len(m.clips), len(c.takes), fits, func(i, j int) float64 {
		return m.misfit(r, m.clips[i], c.takes[j])
	})
	a := alignment{region: r}
	for _, p := range candidate {
		part := m.whereLengthFits(a.region, m.clips[p.Clip], c.takes[p.Take])
		for _, before := range a.pairs {
			if !part.empty() {
				part = m.whereInStep(part, c, before, p)
			}
		}
		if !part.empty() {
			a.region, a.pairs = part, append(a.pairs, p)
			a.misfit += m.misfit(r, m.clips[p.Clip], c.takes[p.Take])
		}
	}
	return a
}

// whereInStep is whereGapFits for two pairs, in either order.
func (m *matcher) whereInStep(r region, c *cell, a, b Pair) region {
	if a.Take > b.Take {
		a, b = b, a
	}
	if a.Clip > b.Clip || a.Take == b.Take && a != b {
		return region{}
	}
	return m.whereGapFits(r, m.clips[a.Clip], c.takes[a.Take], m.clips[b.Clip], c.takes[b.Take])
}

// misfit is the difference in length between a clip and a take at the middle of
// a region, in seconds. A clip may be longer than a take that the log's ends cut,
// but an equally long one is likelier.
func (m *matcher) misfit(r region, c Clip, t take) float64 {
	if c.NoLength {
		return m.err.Seconds() // as far off as one that barely fits
	}
	middle := sim.Window{MinPress: r.min.Middle(), LongPress: r.long.Middle()}
	return math.Abs((t.end.at(middle) - t.start.at(middle) - c.Length).Seconds())
}

// longestAlignment returns the longest list of pairs that fit and ascend in both
// numbers; of equally long lists, the one with the least cost.
func longestAlignment(n, k int, fits func(i, j int) bool, cost func(i, j int) float64) []Pair {
	type score struct {
		pairs int
		cost  float64
	}
	better := func(a, b score) bool { return a.pairs > b.pairs || a.pairs == b.pairs && a.cost < b.cost }
	best := make([][]score, n+1) // best[i][j] is the best for clips from i and takes from j on
	paired := make([][]bool, n+1)
	for i := range best {
		best[i], paired[i] = make([]score, k+1), make([]bool, k+1)
	}
	for i := n - 1; i >= 0; i-- {
		for j := k - 1; j >= 0; j-- {
			best[i][j] = best[i+1][j]
			if better(best[i][j+1], best[i][j]) {
				best[i][j] = best[i][j+1]
			}
			if !fits(i, j) {
				continue
			}
			with := score{best[i+1][j+1].pairs + 1, best[i+1][j+1].cost + cost(i, j)}
			if better(with, best[i][j]) {
				best[i][j], paired[i][j] = with, true
			}
		}
	}
	var pairs []Pair
	for i, j := 0, 0; i < n && j < k; {
		switch {
		case paired[i][j]:
			pairs = append(pairs, Pair{i, j})
			i, j = i+1, j+1
		case best[i+1][j] == best[i][j]:
			i++
		default:
			j++
		}
	}
	return pairs
}

// withUnpaired numbers the pairs from 1, and inserts the clips and takes without a
// partner in order.
func (m *matcher) withUnpaired(pairs []Pair, takes int) []Pair {
	var all []Pair
	clip, take := 0, 0
	upTo := func(p Pair) {
		for ; take < p.Take; take++ {
			all = append(all, Pair{Take: take + 1})
		}
		for ; clip < p.Clip; clip++ {
			all = append(all, Pair{Clip: clip + 1})
		}
	}
	for _, p := range pairs {
		upTo(p)
		all = append(all, Pair{p.Clip + 1, p.Take + 1})
		clip, take = p.Clip+1, p.Take+1
	}
	upTo(Pair{len(m.clips), takes})
	return all
}

// unexplained counts the clips and takes without a partner. Clips after the
// last take need none if the camera's state was unknown at the end.
func unexplained(pairs []Pair, endsUnknown bool) int {
	n := 0
	for i := len(pairs) - 1; i >= 0; i-- {
		switch p := pairs[i]; {
		case p.Clip == 0 || p.Take == 0 && !endsUnknown:
			n++
		case p.Take != 0:
			endsUnknown = false
		}
	}
	return n
}
