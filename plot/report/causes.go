package report

import (
	"cmp"
	"slices"

	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// cause groups the findings of one code, if there are many findings.
type cause struct {
	Code            tell.Code
	Meaning, Remedy string
	Flicks          string // how often it happened
	Lost            bool
	First           []findingRow
	More            int // findings beyond the first ones

	times int
}

// firstOfCause is how many of its findings a cause names.
const firstOfCause = 12

// causesOf groups findings by code: first those that cost footage, the most
// frequent first.
func causesOf(marks []lanes.Mark) []cause {
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
			c.First = append(c.First, newFindingRow(0, m))
		} else {
			c.More++
		}
	}
	for i := range all {
		all[i].Flicks = tell.Counted(all[i].times, "time", "times")
	}
	rank := map[bool]int{false: 1}
	slices.SortStableFunc(all, func(a, b cause) int {
		return cmp.Or(cmp.Compare(rank[a.Lost], rank[b.Lost]), cmp.Compare(b.times, a.times))
	})
	return all
}

func newCause(f tell.Finding) cause {
	c := cause{Code: f.Code, Remedy: sentence(f.Remedy)}
	for _, rule := range tell.Rules() {
		if rule.Code == f.Code {
			c.Meaning = rule.Meaning
		}
	}
	return c
}
