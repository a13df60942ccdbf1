package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What stands exactly on a bound: the tests beside look at what lies to either
// side of it.

func TestASpanHoldsItsStartAndNotItsEnd(t *testing.T) {
	s := Span{10, 20}
	for at, in := range map[Micros]bool{9: false, 10: true, 19: true, 20: false} {
		assert.Equal(t, in, s.Contains(at), at)
	}
}

func TestArmedAndDisarmedAtOneInstantIsNoWindow(t *testing.T) {
	c := NewChain(rigWith(func(r *Rig) { r.Log.Armed = "arm" }))
	for _, s := range []Sample{{0, rest, 1000}, {100, rest, 1800}, {100, rest, 1000}, {200, rest, 1000}} {
		c.Feed(s)
	}
	assert.Empty(t, c.Finish().Armed.Windows)
}

func TestAnOutcomeListsTheFindingsThatThereAre(t *testing.T) {
	r := play(rigWith(nil), dense(story(flick(1000, 1040)), 5000), 5000)
	assert.Equal(t, []CodeCount{{"short-press", 1}}, r.Outcome(r.Findings(DefaultLimits())).Findings)
}

func TestATakeRunsWhileTheCameraRecords(t *testing.T) {
	var record Record
	c := NewCamera(rigWith(nil).Camera, Window{MinPress: 80_000, LongPress: 1_500_000}, false, &record)
	_, runs := c.TakeStart()
	assert.False(t, runs)
	c.Step(Edge{At: 1_000_000, Pressed: true})
	c.Step(Edge{At: 1_300_000})
	start, runs := c.TakeStart()
	assert.True(t, runs)
	assert.Equal(t, Micros(1_300_000), start)
}

func TestPressedForHalfOfTheRestIsPressedAtIdle(t *testing.T) {
	// With a delay of a second the boot level reaches the camera for a second.
	rig := rigWith(func(r *Rig) { r.Line.Boot, r.Line.Delay = BootPressed, Second })
	_, found := codes(play(rig, story(), 2000).Findings(DefaultLimits()))["pressed-at-idle"]
	assert.True(t, found, "1 s of 2 s")
	_, found = codes(play(rig, story(), 2000.001).Findings(DefaultLimits()))["pressed-at-idle"]
	assert.False(t, found, "less than half")
}

// A release at the moment of a refresh is what the refresh sees (M0).
func TestAPressThatEndsWithARefreshIsMissed(t *testing.T) {
	rig := rigWith(func(r *Rig) { r.Line.Update = micros(50) })
	for to, missed := range map[float64]bool{1049: true, 1050: true, 1051: false} {
		_, found := codes(play(rig, dense(story(flick(1010, to)), 5000), 5000).Findings(DefaultLimits()))["missed-press"]
		assert.Equal(t, missed, found, to)
	}
}

func TestChatterToItsLimits(t *testing.T) {
	limits := DefaultLimits()
	for _, c := range []struct {
		name    string
		moments []moment
		edges   int
		found   bool
	}{
		{"as many edges as count, within the time", story(flick(1000, 1010), flick(1020, 1100)), 4, true},
		{"the last just after the time", story(flick(1000, 1010), flick(1020, 1100.001)), 4, false},
		{"one edge too few", story(flick(1000, 1010), []moment{{1020, up}}), 4, false},
		{"two are enough where two are asked for", story(flick(1000, 1010)), 2, true},
		{"one is never chatter", story(flick(1000, 1010)), 1, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			limits.ChatterEdges = c.edges
			_, found := codes(play(rigWith(nil), c.moments, 5000).Findings(limits))["chatter"]
			assert.Equal(t, c.found, found)
		})
	}
}

func TestChatterGoesOnWhileEdgesFollowInTime(t *testing.T) {
	limits := DefaultLimits()
	moments := story(flick(100, 400), flick(1000, 1010), flick(1020, 1030), flick(1130, 1230.001))
	found := play(rigWith(nil), moments, 5000).Findings(limits)
	require.Contains(t, codes(found), Code("chatter"))
	assert.Equal(t, "5 edges of the switch within 130ms from 0:01.000 on", codes(found)["chatter"].Text)
	n := 0
	for _, f := range found {
		if f.Code == "chatter" {
			n++
		}
	}
	assert.Equal(t, 1, n, "told once")
}

// Of two samples at one instant, the later changes the switch; what could not be
// seen is the time since the sample before that instant.
func TestWhatCouldNotBeSeenReachesBackBeforeTheInstant(t *testing.T) {
	r := play(rigWith(nil), []moment{{0, rest}, {90, rest}, {100, rest}, {100, up}, {300, rest}}, 1000)
	require.Len(t, r.Presses, 1)
	assert.Equal(t, micros(10), r.Presses[0].DownUnseen)
	assert.Equal(t, micros(200), r.Presses[0].UpUnseen)
}

// It does so too where the samples before are passed over in a block, which may
// hold one of another time or several.
func TestWhatCouldNotBeSeenReachesBackWithinABlock(t *testing.T) {
	for _, before := range [][]Sample{
		{{90, rest, Absent}, {100, rest, Absent}},
		{{80, rest, Absent}, {90, rest, Absent}, {100, rest, Absent}, {100, rest, Absent}},
	} {
		chain := NewChain(rigWith(nil))
		chain.FeedAll([]Sample{{0, rest, Absent}, {10, rest, Absent}})
		chain.FeedAll(append(before, Sample{100, up, Absent}))
		assert.Equal(t, []Edge{{At: 100, Pressed: true, Flick: 1, Unseen: 10}}, chain.Finish().Lanes.Position.Edges, "%v", before)
	}
}

func TestACraftThatIsNeverArmedHasNoArmedTimeToCover(t *testing.T) {
	c := NewChain(rigWith(func(r *Rig) { r.Log.Armed = "arm" }))
	c.Feed(Sample{0, rest, 1000})
	c.Feed(Sample{micros(1000), rest, 1000})
	assert.Equal(t, "nothing recorded in 1s; no loss found", c.Finish().Summary(nil))
}

// A log tells of armed time by a column that the rig names and that holds a
// value at least once.
func TestArmedTimeIsThereWhereTheLogTells(t *testing.T) {
	for name, c := range map[string]struct {
		column string
		armed  PulseWidth
		tells  bool
	}{
		"a column with a value":         {"arm", 1800, true},
		"a column without any value":    {"arm", Absent, false},
		"a value that no column is for": {"", 1800, false},
	} {
		chain := NewChain(rigWith(func(r *Rig) { r.Log.Armed = c.column }))
		chain.FeedAll([]Sample{{0, rest, c.armed}, {micros(1000), rest, c.armed}})
		assert.Equal(t, c.tells, chain.Finish().Armed != nil, name)
	}
}

func TestASignalLostAtRestIsNotPressedInLoss(t *testing.T) {
	rig := rigWith(func(r *Rig) { r.SignalLoss.StaleAfter = micros(500) })
	r := play(rig, []moment{{0, rest}, {1400, rest}}, 1500)
	require.NotEmpty(t, r.Lost)
	assert.NotContains(t, codes(r.Findings(DefaultLimits())), Code("pressed-in-loss"))
}
