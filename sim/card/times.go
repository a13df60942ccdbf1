package card

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"flicktally/sim"
)

func base(name string) string { return name[strings.LastIndexByte(name, '/')+1:] }

// fileTimes returns how much later the file system's times are than the ends of
// the files by their headers, and whether they can be times of ends at all:
// copying a card may have lost them.
func (c *Card) fileTimes(times times) (shift sim.Micros, trusted bool) {
	shifts := c.shifts(times)
	if len(shifts) == 0 {
		return 0, c.noneOverlaps()
	}
	shift = shifts[len(shifts)/2]
	return shift, 2*near(shifts, shift) > len(shifts)
}

// shifts returns, in order, how much later each file's time is than its end by
// its header.
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

// near counts the shifts that are as close to one as the steps of both clocks
// allow.
func near(shifts []sim.Micros, shift sim.Micros) (n int) {
	for _, s := range shifts {
		if s-shift <= fileTimeError+sim.Second && shift-s <= fileTimeError+sim.Second {
			n++
		}
	}
	return n
}

// noneOverlaps reports whether the file system's times can be the ends of the
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

// settleByFiles settles the meaning of the headers' times by the file system's
// times, which are those of the ends.
func (c *Card) settleByFiles() {
	agreeing := func(times times) int {
		shifts := c.shifts(times)
		if len(shifts) == 0 {
			return 0
		}
		return near(shifts, shifts[len(shifts)/2])
	}
	begin, end := agreeing(headerBegin), agreeing(headerEnd)
	switch {
	case end > begin:
		c.settleOn(headerEnd)
		c.how = "by the files' own times"
	case begin > end:
		c.settleOn(headerBegin)
		c.how = "by the files' own times"
	default:
		c.settleOn(headerBegin)
		c.how = "assumed, as nothing says otherwise"
	}
}

// Settle settles the meaning of the headers' times by the takes of the flights,
// given how much a clip may be off. If both meanings fit equally, nothing
// changes.
func (c *Card) Settle(flights [][]sim.Take, within sim.Micros) {
	how, before := c.how, c.times
	fits := map[times]fit{}
	for _, times := range []times{headerBegin, headerEnd} {
		c.settleOn(times)
		for _, takes := range flights {
			fits[times] = fits[times].plus(c.fitOf(takes, within))
		}
	}
	switch {
	case fits[headerBegin].betterThan(fits[headerEnd]):
		before, how = headerBegin, "as that fits the log"
	case fits[headerEnd].betterThan(fits[headerBegin]):
		before, how = headerEnd, "as that fits the log"
	}
	c.settleOn(before)
	c.how = how
}

// fit is how well clips fit takes: how many do so at one offset between the
// card's clock and the log's, and how far their own offsets spread.
type fit struct {
	pairs  int
	spread sim.Micros
}

func (f fit) plus(g fit) fit { return fit{f.pairs + g.pairs, f.spread + g.spread} }

// betterThan requires more pairs, or as many with a clearly smaller spread.
func (f fit) betterThan(g fit) bool {
	const clearly = sim.Second / 4
	return f.pairs > g.pairs || f.pairs == g.pairs && f.spread+clearly < g.spread
}

// fitOf fits the clips to the takes of one flight.
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
		if now := (fit{len(inWindow), offsets[to].by - offsets[from].by}); now.pairs > best.pairs || now.pairs == best.pairs && now.spread < best.spread {
			best = now
		}
	}
	if best.pairs == 0 {
		return fit{}
	}
	return best
}

// mostOffsets limits the pairs of clips and takes that are tried.
const mostOffsets = 1 << 20
