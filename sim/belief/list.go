package belief

import (
	"math"

	"flicktally/sim"
)

// listState is the place of a history in the card's list: the next clip, when the
// running take began, and the remaining offsets of the card's clock. Times are
// in finer steps.
type listState struct {
	next      int32
	began     sim.Micros // 0 while nothing is recorded
	fromStart bool       // the take ran when the log began
	free      bool       // the camera's state was unknown: clips need no take
	low, high sim.Micros // of the clock's offset, in this log
}

const anyTime = math.MaxInt64 / 4

func newListState() listState { return listState{low: -anyTime, high: anyTime} }

// card is the list of clips, with the weights of clips and takes that do not
// fit.
type card struct {
	clips             []Clip
	err               sim.Micros // in finer steps
	unlisted, foreign float64
}

// continuation is a way to continue in the list. Its weight excludes the clips that it
// skips.
type continuation struct {
	state   listState
	weight  float64
	skipped int
}

// leastSkip is the likelihood below which a run of skipped clips is not
// followed. Clips for which no take is left do not count in it.
const leastSkip = 1e-15

// mostSkipped returns the length of the longest run that is followed.
func (c *card) mostSkipped() int {
	most := math.Ceil(math.Log(leastSkip)/math.Log(c.foreign)) - 1
	return int(min(most, float64(len(c.clips)))) // all of them if every clip may be foreign
}

// take appends the ways to explain a take: by no clip, or by one of the next.
// takesLeft is how many takes may still end, this one included.
func (c *card) take(p listState, began, ended sim.Micros, open bool, toCome int, ways []continuation) []continuation {
	closed := p
	closed.began, closed.fromStart = 0, false
	ways = append(ways, continuation{closed, c.unlisted, 0})
	for k := int(p.next); k < len(c.clips); k++ {
		skipped := k - int(p.next)
		switch {
		case p.free:
			skipped = 0
		case skipped > c.surplus(p, toCome)+c.mostSkipped():
			return ways
		}
		if fitted, ok := c.fit(closed, c.clips[k], began, ended, p.fromStart, open); ok {
			fitted.next = int32(k + 1)
			fitted.free = false
			ways = append(ways, continuation{fitted, 1 - c.unlisted, skipped})
		}
	}
	return ways
}

// surplus returns how many of the remaining clips cannot have a take, given how
// many takes may still end.
func (c *card) surplus(p listState, toCome int) int { return max(0, c.clipsLeft(p)-toCome) }

// foreigners returns the weight of n clips without a take.
func (c *card) foreigners(n int) float64 { return math.Pow(c.foreign, float64(n)) }

// fit reports whether a clip may be a take, and narrows the clock's offset by it.
func (c *card) fit(p listState, clip Clip, began, ended sim.Micros, fromStart, open bool) (listState, bool) {
	off := clip.Length*finer - (ended - began)
	if !clip.NoLength && (off < -c.err || off > c.err && !fromStart && !open) {
		return p, false
	}
	if !clip.HasStart {
		return p, true
	}
	offset := clip.Start*finer - began
	p.low = max(p.low, offset-c.err)
	if !fromStart {
		p.high = min(p.high, offset+c.err)
	}
	return p, p.low <= p.high
}

// clipsLeft returns how many of the remaining clips need a take.
func (c *card) clipsLeft(p listState) int {
	if p.free {
		return 0
	}
	return len(c.clips) - int(p.next)
}
