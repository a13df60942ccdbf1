package card

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// fileTimes returns how much later the times in the file system are than the ends
// of the files by their headers. They are not trusted if they cannot be the times
// of the ends: a copy of a card may have others.
func (c *Card) fileTimes(times times) (shift sim.Micros, trusted bool) {
	shifts := c.shifts(times)
	if len(shifts) == 0 {
		return 0, c.noneOverlaps()
	}
	shift = shifts[len(shifts)/2]
	return shift, 2*near(shifts, shift) > len(shifts)
}

// shifts returns, in ascending order, how much later the time of each file is than
// its end by its header.
func (c *Card) shifts(times times) []sim.Micros {
	var shifts []sim.Micros
	for _, f := range c.videos {
		if f.Header.Created == 0 || f.Header.Length == 0 {
			continue
		}
		ended := f.Header.Created
		if times == headerBegin {
			ended += f.Header.Length
		}
		shifts = append(shifts, f.Modified-ended)
	}
	slices.Sort(shifts)
	return shifts
}

// near counts the shifts that are equal to one, apart from the steps of both
// clocks.
func near(shifts []sim.Micros, shift sim.Micros) (n int) {
	for _, s := range shifts {
		if s-shift <= fileTimeError+sim.Second && shift-s <= fileTimeError+sim.Second {
			n++
		}
	}
	return n
}

// noneOverlaps reports whether the times in the file system can be the ends of the
// files: no camera records two at once.
func (c *Card) noneOverlaps() bool {
	byTime := slices.Clone(c.videos)
	slices.SortStableFunc(byTime, func(a, b File) int { return cmp.Compare(a.Modified, b.Modified) })
	for i, f := range byTime {
		if f.Modified == 0 || i > 0 && f.Modified-f.Header.Length < byTime[i-1].Modified-fileTimeError {
			return false
		}
	}
	return true
}

// settleByFiles settles the meaning of the headers' times by the times in the file
// system, which are those of the ends.
func (c *Card) settleByFiles() {
	agreeing := func(times times) int {
		shifts := c.shifts(times)
		if len(shifts) == 0 {
			return 0
		}
		return near(shifts, shifts[len(shifts)/2])
	}
	begin, end := agreeing(headerBegin), agreeing(headerEnd)
	times := headerBegin
	if end > begin {
		times = headerEnd
	}
	c.settleOn(times)
	c.how = "by the files' own times"
	if begin == end {
		c.how = "assumed, as nothing says otherwise"
	}
}

// Settle settles the meaning of the headers' times by the takes of the flights,
// given the error of a clip. If both meanings fit equally, nothing changes.
func (c *Card) Settle(flights [][]sim.Take, within sim.Micros) {
	settled := c.times
	fits := map[times]fit{}
	for _, times := range []times{headerBegin, headerEnd} {
		c.settleOn(times)
		for _, takes := range flights {
			fits[times] = fits[times].plus(c.fitOf(takes, within))
		}
	}
	for _, by := range [][2]times{{headerBegin, headerEnd}, {headerEnd, headerBegin}} {
		if fits[by[0]].betterThan(fits[by[1]]) {
			settled, c.how = by[0], "as that fits the log"
		}
	}
	c.settleOn(settled)
}

// fit is how well clips fit takes.
type fit struct {
	pairs  int        // at one offset between the clocks of the card and the log
	spread sim.Micros // of the offsets of the pairs
}

func (f fit) plus(g fit) fit { return fit{f.pairs + g.pairs, f.spread + g.spread} }

// betterThan reports whether f has more pairs, or as many with a clearly smaller
// spread.
func (f fit) betterThan(g fit) bool {
	const clearly = sim.Second / 4
	return f.pairs > g.pairs || f.pairs == g.pairs && f.spread+clearly < g.spread
}

// fitOf returns how well the clips fit the takes of one flight.
func (c *Card) fitOf(takes []sim.Take, within sim.Micros) fit {
	type offset struct {
		by   sim.Micros
		take int
	}
	var offsets []offset
	for _, clip := range c.clips {
		for i, t := range takes {
			off := clip.Length - t.Length()
			if clip.byHeader && !clip.NoLength && off >= -within && off <= within && len(offsets) < mostOffsets {
				offsets = append(offsets, offset{clip.Start - t.Start, i})
			}
		}
	}
	slices.SortFunc(offsets, func(a, b offset) int { return cmp.Compare(a.by, b.by) })
	best := fit{0, math.MaxInt64 / 4}
	inWindow, from := map[int]int{}, 0
	for to, o := range offsets {
		inWindow[o.take]++
		for o.by-offsets[from].by > 2*within {
			if inWindow[offsets[from].take]--; inWindow[offsets[from].take] == 0 {
				delete(inWindow, offsets[from].take)
			}
			from++
		}
		now := fit{len(inWindow), offsets[to].by - offsets[from].by}
		if now.pairs > best.pairs || now.pairs == best.pairs && now.spread < best.spread {
			best = now
		}
	}
	if best.pairs == 0 {
		return fit{}
	}
	return best
}

// mostOffsets is the most pairs of clips and takes that are tried.
const mostOffsets = 1 << 20
