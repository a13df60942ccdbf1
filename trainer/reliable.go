package trainer

import (
	"fmt"
	"slices"
	"time"

	"flicktally/sim/stat"
)

// reliableTest decides whether a drill is reliable: it distinguishes a pilot who
// fails one time in a hundred from one who fails one time in ten. The tests of a
// drill that end within any sharedTrials share the chance of calling the latter
// reliable ([stat.SequentialTest.Stage]).
var reliableTest = stat.SequentialTest{Good: 0.01, Bad: 0.10, FalseBad: 0.05, FalseGood: 0.05}

const sharedTrials = 600

// trialsCountFor is the number of days for which a trial counts as evidence.
const trialsCountFor = 30

// recheckAfter has the numbers of days after which a reliable drill is due for a
// recheck: a trial on that day or later.
var recheckAfter = []int{1, 3, 7, 30}

// Reliability is what the trials of a drill show on a day.
type Reliability struct {
	// Last is the latest decision, Undecided if it has aged out. A new test starts
	// after each, so that reliability can be lost and regained.
	Last stat.Decision
	Due  bool // the drill is reliable, and due for a recheck
	// Trials is the number of trials since the latest decision.
	Trials   int
	All      stat.Rate // all trials that count; hits are right
	failures int       // of Trials
	decided  time.Time // when the latest decision was made; zero if unknown
	lapsed   bool      // the drill was reliable, and that has aged out
	ended    int       // number of tests that have spent their share of the error
}

// needed returns how many more trials, all right, would make the drill reliable.
func (r Reliability) needed() int { return reliableTest.Stage(r.ended).Needed(r.Trials, r.failures) }

// Words says what was decided and when, and what is still needed.
func (r Reliability) Words() string {
	switch {
	case r.Last == stat.CalledGood && r.Due:
		return "reliable: better than 9 in 10" + onDay(" (", r.decided, ")") + ", due for a recheck"
	case r.Last == stat.CalledGood:
		return "reliable: better than 9 in 10" + onDay(" (", r.decided, ")")
	case r.lapsed:
		return fmt.Sprintf("was reliable%s: %d right in a row confirm it again", onDay(" on ", r.decided, ""), r.needed())
	case r.Last == stat.CalledBad && r.Trials == 0:
		return fmt.Sprintf("not reliable yet: a new test has started; %d right in a row pass it", r.needed())
	default:
		return fmt.Sprintf("undecided: %d more right in a row prove it reliable", r.needed())
	}
}

// State returns the progress of a drill in a word.
func (r Reliability) State() string {
	switch {
	case r.Last == stat.CalledGood && r.Due:
		return "due"
	case r.Last == stat.CalledGood:
		return "reliable"
	case r.lapsed:
		return "lapsed"
	case r.All.Trials == 0 && r.decided.IsZero():
		return "untried"
	default:
		return "learning"
	}
}

func onDay(before string, t time.Time, after string) string {
	if t.IsZero() {
		return ""
	}
	return before + t.Format(time.DateOnly) + after
}

// evidence decides the reliability of a drill. Its slices are never changed in
// place, so that copies stay valid.
type evidence struct {
	last    stat.Decision
	decided time.Time
	latest  time.Time // the latest trial
	trials  int       // so far
	open    []sitting // of the running test, before the current sitting
	sitting sitting   // the current one
	ended   []int     // the number of trials at the end of each test that counts against the error
	recent  stat.Rate // see [Reliability.All]
}

// sitting counts the trials of one drill.
type sitting struct {
	at    time.Time
	right stat.Rate
}

func (e *evidence) add(at time.Time, right bool) {
	e.trials++
	for len(e.ended) > 0 && e.trials-e.ended[0] >= sharedTrials {
		e.ended = e.ended[1:]
	}
	e.latest = at
	if !e.sitting.at.Equal(at) {
		e.open, e.sitting = append(slices.Clone(e.openOn(at)), e.sitting), sitting{at: at}
	}
	e.sitting.right.Add(right)
	trials, failures := e.running(at)
	if d := reliableTest.Stage(len(e.ended)).Decide(trials, failures); d != stat.Undecided {
		e.last, e.decided, e.open, e.sitting = d, at, nil, sitting{}
		e.ended = append(slices.Clip(e.ended), e.trials)
	}
}

// openOn returns the open sittings that have not aged out on a day.
func (e evidence) openOn(now time.Time) []sitting {
	first := slices.IndexFunc(e.open, func(s sitting) bool { return !agedOut(s.at, now) })
	if first < 0 {
		return nil
	}
	return e.open[first:]
}

// agedOut reports whether a trial no longer counts on a day.
func agedOut(at, now time.Time) bool {
	if now.Sub(at) < trialsCountFor*24*time.Hour {
		return false
	}
	return Day(at.In(now.Location())).AddDate(0, 0, trialsCountFor).Before(Day(now))
}

// running counts the trials and failures of the running test that have not aged
// out on a day.
func (e evidence) running(now time.Time) (trials, failures int) {
	var right stat.Rate
	for _, s := range e.openOn(now) {
		right = right.Plus(s.right)
	}
	if !agedOut(e.sitting.at, now) {
		right = right.Plus(e.sitting.right)
	}
	return right.Trials, right.Trials - right.Hits
}

// on returns what the evidence shows on a day.
func (e evidence) on(now time.Time) Reliability {
	r := Reliability{Last: e.last, decided: e.decided, All: e.recent, ended: len(e.ended)}
	r.Trials, r.failures = e.running(now)
	if r.Last != stat.Undecided && agedOut(e.decided, now) {
		r.Last, r.lapsed = stat.Undecided, e.last == stat.CalledGood
	}
	r.Due = r.Last == stat.CalledGood && e.recheckDue(now)
	return r
}

// recheckDue reports whether a day of recheck has come without a trial on it or
// later.
func (e evidence) recheckDue(now time.Time) bool {
	return slices.ContainsFunc(recheckAfter, func(days int) bool {
		day := Day(e.decided.In(now.Location())).AddDate(0, 0, days)
		return !now.Before(day) && e.latest.Before(day)
	})
}
