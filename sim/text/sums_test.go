package text

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/tell"
)

// TestALongFlightIsSummedUp: from the sixth flick on, flicks and takes are summed up
// instead of listed. Flicks at 10, 20, … s with a hold of 300 ms toggle 0.3 s later.
func TestALongFlightIsSummedUp(t *testing.T) {
	for name, test := range map[string]struct {
		holds []sim.Micros
		want  string
	}{
		"equal neighbours are one run": {slices.Concat(many(4, 300*ms), many(1, 40*ms), many(1, 300*ms)), `
5 of 6 flicks toggled (1 short); recorded 29.7 s of 1:10, in 3 takes
  flicks  1–4 toggled, 5 short, 6 toggled; those that toggled: 300 ms, 220 ms to
          spare (--full lists each)
  take 1  0:10.3 to 0:20.3, 10 s
  take 2  0:30.3 to 0:40.3, 10 s
  take 3  1:00.3 to 1:10.0, 9.7 s, ended by the end of the log`},
		"more than five takes share a row": {many(12, 300*ms), `
all 12 flicks toggled; recorded 1:00 of 2:10, in 6 takes
  flicks  1–12 toggled; those that toggled: 300 ms, 220 ms to spare (--full
          lists each)
  takes   1: 0:10.3 to 0:20.3, 10 s; 2: 0:30.3 to 0:40.3, 10 s; 3: 0:50.3 to
          1:00.3, 10 s; 4: 1:10.3 to 1:20.3, 10 s; 5: 1:30.3 to 1:40.3, 10 s; 6:
          1:50.3 to 2:00.3, 10 s`},
		// The last two of the 26 short ones do not fit in a list of 24.
		"more than 24 flicks are counted by outcome": {slices.Concat(many(22, 300*ms), many(26, 40*ms), many(2, 2300*ms)), `
22 of 50 flicks toggled (26 short, 1 long, 1 off); recorded 1:50 of 8:30, in 11
takes
  flicks  22 toggled; 26 short: 23–46 and 2 more; 1 long: 49; 1 off: 50; those
          that toggled: 300 ms, 220 ms to spare (--full lists each)`},
		// A hold of 200 ms makes its take start 0.1 s earlier, and the log's end cuts
		// the last of 14.
		"more than 12 takes are counted": {slices.Concat(many(24, 300*ms), many(1, 200*ms), many(2, 300*ms)), `
all 27 flicks toggled; recorded 2:19.8 of 4:40, in 14 takes
  flicks  27 toggled; those that toggled: 200 to 300 ms, 120 ms to spare (--full
          lists each)
  takes   14, 9.7 s to 10.1 s long`},
		"up to 24 flicks and 12 takes are listed": {many(24, 300*ms), `
  flicks  1–24 toggled; those that toggled: 300 ms, 220 ms to spare (--full
          lists each)
  takes   1: 0:10.3 to 0:20.3, 10 s; 2: 0:30.3 to 0:40.3, 10 s; 3: 0:50.3 to`},
		"takes of equal length": {many(26, 300*ms), `
  takes   13, 10 s long`},
		"doubtful flicks have a mark, and nothing to spare": {many(6, 80*ms), `
  flicks  1–6 toggled?; those that toggled: 80 ms (--full lists each)
`},
		"no flick toggled": {many(6, 40*ms), `
0 of 6 flicks toggled (6 short); nothing recorded in 1:10
  flicks  1–6 short (--full lists each)
  takes   none`},
	} {
		got := replayed(t, false, flown(sim.DefaultRig(), test.holds...))
		assert.Contains(t, part(t, got, "lake.csv")+"\n", test.want, name)
		assert.NotContains(t, got, "  by hand  ", name)
	}
}

// TestHoldsOfTogglesHaveAnEnd: a camera that toggles on press does so before the
// switch is released. If the log ends first, the hold is not known, and the sums
// leave it out.
func TestHoldsOfTogglesHaveAnEnd(t *testing.T) {
	rig := with(func(r *sim.Rig) { r.Camera.ToggleOn = sim.ToggleOnPress })
	rig.Camera.LongAction = sim.ActionNone
	got := replayed(t, false, flown(rig, append(many(6, 300*ms), 20*s)...))
	assert.Contains(t, got, "  flicks  1–7 toggled; those that toggled: 300 ms, 220 ms to spare (--full lists\n")
}

// losing makes the signal lost for 300 ms, 5 s after each of some flicks, 0 being the
// start. The rig takes that for a press, though no flick is behind it.
func losing(rig sim.Rig, after func(flick int) bool, holds ...sim.Micros) *sim.Replay {
	rig.SignalLoss.Then = sim.LossPress
	return flownWith(rig, func(row *sim.Sample) {
		if since := row.At % apart; after(int(row.At/apart)) && 5*s <= since && since < 5300*ms {
			row.Channel = sim.Lost
		}
	}, holds...)
}

// TestAPressWithoutAFlickIsARunOfItsOwn: it has no number, so it neither ends nor
// begins a run of flicks.
func TestAPressWithoutAFlickIsARunOfItsOwn(t *testing.T) {
	replay := losing(sim.DefaultRig(), func(flick int) bool { return flick == 2 },
		slices.Concat(many(2, 80*ms), many(4, 300*ms))...)
	assert.Contains(t, replayed(t, false, replay), "\n  flicks  1–2 toggled?, 1 without a flick toggled?, 3–6 toggled; ")

	replay = losing(sim.DefaultRig(), func(flick int) bool { return flick == 2 },
		slices.Concat(many(2, 300*ms), many(4, 80*ms))...)
	assert.Contains(t, replayed(t, false, replay), "\n  flicks  1–2 toggled, 1 without a flick toggled?, 3–6 toggled?; ")
}

// TestManyTakesMakeALongFlight: lost signals make takes without a flick.
func TestManyTakesMakeALongFlight(t *testing.T) {
	for flicks, listed := range map[int]bool{10: true, 11: false} { // 11 or 12 losses, two to a take
		replay := losing(sim.DefaultRig(), func(flick int) bool { return flick < 10 || flicks == 11 }, make([]sim.Micros, flicks)...)
		assert.Empty(t, replay.Flicks, "holds of 0")
		got := replayed(t, false, replay)
		assert.Equal(t, listed, strings.Contains(got, "\n  take  from "), flicks)
		assert.Equal(t, !listed, strings.Contains(got, "\n  takes   1: "), flicks)
	}
}

// TestAShortFlightIsListed: up to five flicks and five takes, and with --full any
// number.
func TestAShortFlightIsListed(t *testing.T) {
	for name, test := range map[string]struct {
		flicks int
		full   bool
		listed bool
	}{
		"five":         {5, false, true},
		"six":          {6, false, false},
		"six, --full":  {6, true, true},
		"five, --full": {5, true, true},
	} {
		got := replayed(t, test.full, flown(sim.DefaultRig(), many(test.flicks, 300*ms)...))
		assert.Equal(t, test.listed, strings.Contains(got, "\n  5      0:50.0  300 ms  "), name)
		assert.Equal(t, !test.listed, strings.Contains(got, "(--full"), name)
	}
}

// TestMissedTimeOfALongFlight: takes of 10 s with 10 s between them, and 5.3 s before
// the first.
func TestMissedTimeOfALongFlight(t *testing.T) {
	unknown := with(func(r *sim.Rig) { r.Camera.Start = sim.StartUnknown })
	for name, test := range map[string]struct {
		rig    sim.Rig
		flicks int
		armed  sim.Span
		want   string
	}{
		"four stretches are listed": {sim.DefaultRig(), 7, sim.Span{From: 5 * s, To: 75 * s},
			"  missed  0:05.0 to 0:10.3, 0:20.3 to 0:30.3, 0:40.3 to 0:50.3, 1:00.3 to 1:10.3"},
		// 5.3 s, six times 10 s, and 140.3 to 145 s: 70 s.
		"eight are counted": {sim.DefaultRig(), 14, sim.Span{From: 5 * s, To: 145 * s},
			"  missed  1:10 in 8 stretches, the longest 10 s from 0:20.3 on"},
		"nothing": {sim.DefaultRig(), 6, sim.Span{From: 10300 * ms, To: 20 * s},
			"  missed  nothing while armed"},
		"in an unknown state": {unknown, 7, sim.Span{From: 5 * s, To: 75 * s},
			"  missed  not known"},
	} {
		got := part(t, replayed(t, false, flownArmed(test.rig, test.armed, many(test.flicks, 300*ms)...)), "lake.csv")
		assert.Equal(t, test.want, got[strings.LastIndex(got, "\n")+1:], name)
	}
}

// TestFindingsAlikeAreJoined: of more than five findings with one code only the
// first is written out, with the times of up to twelve others.
func TestFindingsAlikeAreJoined(t *testing.T) {
	for name, test := range map[string]struct {
		flicks int
		full   bool
		count  int
		want   string
	}{
		"five are listed": {5, false, 5, ""},
		"six are joined":  {6, false, 1, "          and at 0:30.0, 0:40.0, 0:50.0, 1:00.0, 1:10.0 (--full lists each)\n"},
		"the first and 12 others": {13, false, 1, `          and at 0:30.0, 0:40.0, 0:50.0, 1:00.0, 1:10.0, 1:20.0, 1:30.0, 1:40.0,
          1:50.0, 2:00.0, 2:10.0, 2:20.0 (--full lists each)
`},
		"the first and 13 others": {14, false, 1, "          13 more, the first at 0:30.0, the last at 2:30.0 (--full lists each)\n"},
		"14 with --full":          {14, true, 14, ""},
	} {
		// Each hold of 80 ms is as likely to toggle as not. The first flick is certain.
		got := replayed(t, test.full, flown(sim.DefaultRig(), append(many(1, 300*ms), many(test.flicks, 80*ms)...)...))
		assert.Equal(t, test.count, strings.Count(got, "doubtful-press: "), name)
		assert.Contains(t, got, "exactly\n"+test.want+"          → measure the press window", name)
	}
}

// TestFindingsKeepTheirOrder: joining moves no finding.
func TestFindingsKeepTheirOrder(t *testing.T) {
	var findings []tell.Finding
	for i := range sim.Micros(7) {
		findings = append(findings, tell.Finding{Code: "short-press", At: i * 10 * s})
	}
	findings = slices.Insert(findings, 1, tell.Finding{Code: "long-press", At: 5 * s})
	joined, again := joinAlike(findings)
	assert.Equal(t, findings[:2], joined)
	assert.Equal(t, map[tell.Code][]string{"short-press": {"0:10.0", "0:20.0", "0:30.0", "0:40.0", "0:50.0", "1:00.0"}}, again)
}

// TestClipsOfOtherFlightsAreJoined: a run of more than five clips without a take is
// one row of the sums.
func TestClipsOfOtherFlightsAreJoined(t *testing.T) {
	stray := func(n int, name string) belief.ClipRow {
		return belief.ClipRow{Clip: fmt.Sprint(n), Name: name, Length: "1:00", Take: "none", Its: "-", Off: "-"}
	}
	mine := belief.ClipRow{Clip: "7", Name: "regatta.mp4", Length: "10 s", Take: "1", Its: "10 s", Off: "+0 ms"}
	run := func(from, to int) (rows []belief.ClipRow) {
		for n := from; n <= to; n++ {
			rows = append(rows, stray(n, fmt.Sprintf("c%d.mp4", n)))
		}
		return rows
	}
	joined := stray(1, "c1.mp4 to c6.mp4")
	joined.Clip, joined.Length = "1–6", "-"
	nameless := joined
	nameless.Name = ""
	for name, test := range map[string]struct{ rows, want []belief.ClipRow }{
		"five stay":              {run(1, 5), run(1, 5)},
		"six are joined":         {run(1, 6), []belief.ClipRow{joined}},
		"a take ends the run":    {append(run(1, 6), mine, stray(8, "")), []belief.ClipRow{joined, mine, stray(8, "")}},
		"a take divides the run": {slices.Concat(run(1, 3), []belief.ClipRow{mine}, run(4, 6)), slices.Concat(run(1, 3), []belief.ClipRow{mine}, run(4, 6))},
		"without names": {[]belief.ClipRow{stray(1, ""), stray(2, ""), stray(3, ""), stray(4, ""), stray(5, ""), stray(6, "")},
			[]belief.ClipRow{nameless}},
		"none": {nil, nil},
	} {
		assert.Equal(t, test.want, joinStrays(test.rows), name)
	}
}

// TestOldClipsInALongFlight: of nine clips, six were there before the flight. With
// --full, each is listed.
func TestOldClipsInALongFlight(t *testing.T) {
	var clips []belief.Clip
	for n := range 6 {
		clips = append(clips, belief.Clip{Name: fmt.Sprintf("old%d.mp4", n+1), Length: 60 * s})
	}
	for range 3 {
		clips = append(clips, belief.Clip{Name: "regatta.mp4", Length: 10 * s})
	}
	flights := judged(t, belief.Observations{Clips: clips, ClipError: s}, flown(sim.DefaultRig(), many(6, 300*ms)...))
	assert.Equal(t, `clips
  clip  name                  length  take  its length  off by
  1–6   old1.mp4 to old6.mp4  -       none  -           -
  7     regatta.mp4           10 s    1     10 s        +0 ms
  8     regatta.mp4           10 s    2     10 s        +0 ms
  9     regatta.mp4           10 s    3     10 s        +0 ms`,
		part(t, printed(func(p *Printer) { p.Flights(flights, false) }), "clips"))
	full := part(t, printed(func(p *Printer) { p.Flights(flights, true) }), "clips")
	assert.Contains(t, full, "\n  6     old6.mp4     1:00    none  -           -\n")
}

// TestListsOfWhatIsNotKnownAreCut: of more than six lines under one name, five stay,
// with a line that counts the rest.
func TestListsOfWhatIsNotKnownAreCut(t *testing.T) {
	list := func(name string, n int) (all []belief.Line) {
		for i := range n {
			all = append(all, belief.Line{Name: onlyFirst(i, name), Text: fmt.Sprint(i + 1)})
		}
		return all
	}
	assert.Equal(t, list("recording", 6), cutLong(list("recording", 6)))
	cut := append(list("recording", 5), belief.Line{Text: "and 2 more (--full lists each)"})
	assert.Equal(t, cut, cutLong(list("recording", 7)))
	assert.Equal(t, slices.Concat(list("a", 1), cut, list("b", 2)),
		cutLong(slices.Concat(list("a", 1), list("recording", 7), list("b", 2))), "each list is cut for itself")
}
