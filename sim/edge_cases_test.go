package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Values exactly on a bound; other tests look at either side of it.

func TestASpanHoldsItsStartAndNotItsEnd(t *testing.T) {
	s := Span{10, 20}
	for at, in := range map[Micros]bool{9: false, 10: true, 19: true, 20: false} {
		assert.Equal(t, in, s.Contains(at), at)
	}
}

func TestArmedAndDisarmedAtOneInstantIsNoWindow(t *testing.T) {
	c := NewChain(TapChannel, rigWith(func(r *Rig) { r.Log.Armed = "arm" }))
	for _, s := range []Sample{{0, rest, 1000}, {100, rest, 1800}, {100, rest, 1000}, {200, rest, 1000}} {
		c.Feed(s)
	}
	assert.Empty(t, c.Finish().Armed.Windows)
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

// Of two samples at one instant, the later changes the switch; what could not be
// seen is the time since the sample before that instant.
func TestWhatCouldNotBeSeenReachesBackBeforeTheInstant(t *testing.T) {
	r := play(rigWith(nil), []moment{{0, rest}, {90, rest}, {100, rest}, {100, up}, {300, rest}}, 1000)
	require.Len(t, r.Presses, 1)
	assert.Equal(t, micros(10), r.Presses[0].DownUnseen)
	assert.Equal(t, micros(200), r.Presses[0].UpUnseen)
}

// The same if the samples before are skipped in a block, which may have samples of
// one time or of several.
func TestWhatCouldNotBeSeenReachesBackWithinABlock(t *testing.T) {
	for _, before := range [][]Sample{
		{{90, rest, Absent}, {100, rest, Absent}},
		{{80, rest, Absent}, {90, rest, Absent}, {100, rest, Absent}, {100, rest, Absent}},
	} {
		chain := NewChain(TapChannel, rigWith(nil))
		chain.FeedAll([]Sample{{0, rest, Absent}, {10, rest, Absent}})
		chain.FeedAll(append(before, Sample{100, up, Absent}))
		assert.Equal(t, []Edge{{At: 100, Pressed: true, Flick: 1, Unseen: 10}}, chain.Finish().Lanes.Position.Edges, "%v", before)
	}
}

func TestACraftThatIsNeverArmedHasNoArmedTimeToCover(t *testing.T) {
	c := NewChain(TapChannel, rigWith(func(r *Rig) { r.Log.Armed = "arm" }))
	c.Feed(Sample{0, rest, 1000})
	c.Feed(Sample{micros(1000), rest, 1000})
	assert.Equal(t, &ArmedTime{}, c.Finish().Armed)
}

// A log shows armed time if the rig names a column for it that has at least one
// value.
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
		chain := NewChain(TapChannel, rigWith(func(r *Rig) { r.Log.Armed = c.column }))
		chain.FeedAll([]Sample{{0, rest, c.armed}, {micros(1000), rest, c.armed}})
		assert.Equal(t, c.tells, chain.Finish().Armed != nil, name)
	}
}
