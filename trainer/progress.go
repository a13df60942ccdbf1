package trainer

import "time"

// Practised is a drill that was done.
type Practised struct {
	Began   time.Time
	Kind    Kind
	Flicks  []Flick
	Results []Result
}

// Period is a day or a week, with what was practised in it.
type Period struct {
	From   time.Time // its first moment
	Drills int
	Mix    map[Kind]int // trials of each kind
	Score
}

// Day returns the first moment of a day, for [Progress].
func Day(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, t.Location())
}

// Week returns the first moment of a week, which begins on Monday (ISO 8601),
// for [Progress].
func Week(t time.Time) time.Time {
	sinceMonday := (int(t.Weekday()) + 6) % 7
	return Day(t).AddDate(0, 0, -sinceMonday)
}

// Progress sums up drills, in order of time, by the period in which they began.
func Progress(drills []Practised, period func(time.Time) time.Time) []Period {
	var periods []Period
	for first := 0; first < len(drills); {
		p := Period{From: period(drills[first].Began), Mix: map[Kind]int{}}
		next := first
		for ; next < len(drills) && period(drills[next].Began).Equal(p.From); next++ {
			for _, r := range drills[next].Results {
				p.Mix[r.Kind]++
			}
		}
		p.Drills, p.Score = next-first, scoreOf(drills[first:next])
		periods, first = append(periods, p), next
	}
	return periods
}
