package report

import (
	"cmp"
	"slices"

	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// cause is all findings of one code, on a page with many findings.
type cause struct {
	Code            tell.Code
	Meaning, Remedy string
	Times           string // "12 times"
	Lost            bool
	First           []findingRow
	More            int // findings after the first ones

	times int
}

// firstOfCause is the number of findings that a cause refers to.
const firstOfCause = 12

// causesOf groups findings by code. Those that cost footage come first, and among
// them the most frequent.
func causesOf(chart string, marks []lanes.Mark) []cause {
	var all []cause
	for _, m := range marks {
		i := slices.IndexFunc(all, func(c cause) bool { return c.Code == m.Code })
		if i < 0 {
			i = len(all)
			all = append(all, newCause(m.Finding))
		}
		c := &all[i]
		c.times += m.Count
		c.Lost = c.Lost || m.Costs
		if len(c.First) < firstOfCause {
			c.First = append(c.First, findingRow{m, momentOf(chart, m.Span)})
		} else {
			c.More++
		}
	}
	for i := range all {
		all[i].Times = tell.Counted(all[i].times, "time", "times")
	}
	slices.SortStableFunc(all, func(a, b cause) int {
		return cmp.Or(trueFirst(a.Lost, b.Lost), cmp.Compare(b.times, a.times))
	})
	return all
}

// trueFirst compares for a sort in which true precedes false.
func trueFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	default:
		return 1
	}
}

func newCause(f tell.Finding) cause {
	c := cause{Code: f.Code, Remedy: f.Remedy}
	for _, rule := range tell.Rules() {
		if rule.Code == f.Code {
			c.Meaning = rule.Meaning
		}
	}
	return c
}
