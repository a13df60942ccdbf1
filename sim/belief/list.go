package belief

import (
	"math"

	"flicktally/sim"
)

// listState is the part of the hidden state that concerns the card's list: the
// next clip, when the running take began, and the remaining offsets of the card's
// clock. Times are in finer steps.
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

// continuation is a way to continue in the list. Its weight excludes the clips
// that it skips.
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
func (c *card) take(s listState, began, ended sim.Micros, open bool, takesLeft int, all []continuation) []continuation {
	closed := s
	closed.began, closed.fromStart = 0, false
	all = append(all, continuation{closed, c.unlisted, 0})
	for k := int(s.next); k < len(c.clips); k++ {
		skipped := k - int(s.next)
		switch {
		case s.free:
			skipped = 0
		case skipped > c.surplus(s, takesLeft)+c.mostSkipped():
			return all
		}
		if fitted, ok := c.fit(closed, c.clips[k], began, ended, s.fromStart, open); ok {
			fitted.next, fitted.free = int32(k+1), false
			all = append(all, continuation{fitted, 1 - c.unlisted, skipped})
		}
	}
	return all
}

// surplus returns how many of the remaining clips cannot have a take, given how
// many takes may still end.
func (c *card) surplus(s listState, takesLeft int) int { return max(0, c.clipsLeft(s)-takesLeft) }

// foreigners returns the weight of n clips without a take.
func (c *card) foreigners(n int) float64 { return math.Pow(c.foreign, float64(n)) }

// fit reports whether a clip may be a take, and narrows the clock's offset by it.
func (c *card) fit(s listState, clip Clip, began, ended sim.Micros, fromStart, open bool) (listState, bool) {
	off := clip.Length*finer - (ended - began)
	if !clip.NoLength && (off < -c.err || off > c.err && !fromStart && !open) {
		return s, false
	}
	if !clip.HasStart {
		return s, true
	}
	offset := clip.Start*finer - began
	s.low = max(s.low, offset-c.err)
	if !fromStart {
		s.high = min(s.high, offset+c.err)
	}
	return s, s.low <= s.high
}

// clipsLeft returns how many of the remaining clips need a take.
func (c *card) clipsLeft(s listState) int {
	if s.free {
		return 0
	}
	return len(c.clips) - int(s.next)
}

// matchTakes returns the ways to match the takes of a transition with the list.
func (b *builder) matchTakes(t transition, from listState) []continuation {
	all := []continuation{{from, 1, 0}}
	for _, take := range t.takes {
		began := take.Start
		if began == 0 {
			began = from.began
		}
		if take.End <= began {
			continue
		}
		var next []continuation
		for _, c := range all {
			n := len(next)
			next = b.card.take(c.state, began, take.End, cutAtEnd(take), b.takesLeft, next)
			for k := n; k < len(next); k++ {
				next[k].weight *= c.weight
				next[k].skipped += c.skipped
			}
		}
		all = next
	}
	for i := range all {
		s := &all[i].state
		switch {
		case !t.recording:
			s.began, s.fromStart = 0, false
		case t.began > 0:
			s.began, s.fromStart = t.began, false
		case b.stage.startsFlight():
			s.began, s.fromStart = 0, true
		}
	}
	return all
}

// cutAtEnd reports whether a take had not ended when the log did, or the camera's
// state became unknown: its clip may be longer.
func cutAtEnd(t sim.Take) bool { return t.Ended == sim.EndLog || t.Ended == sim.EndUnknown }
