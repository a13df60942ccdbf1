package lanes

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/tell"
)

const ms, s = sim.Millisecond, sim.Second

// played replays flicks of the given holds, one every 10 s from 5 s on.
func played(rig sim.Rig, holds ...sim.Micros) *sim.Replay {
	chain := sim.NewChain(sim.TapChannel, rig)
	end := 10 * s * sim.Micros(len(holds))
	for at := sim.Micros(0); at <= end; at += 20 * ms {
		sample := sim.Sample{At: at, Channel: 1000, Armed: 2000}
		if i := int(at / (10 * s)); i < len(holds) {
			if down := 10*s*sim.Micros(i) + 5*s; at >= down && at < down+holds[i] {
				sample.Channel = 2000
			}
		}
		chain.Feed(sample)
	}
	return chain.Finish()
}

func names(p Picture) (all []string) {
	for _, l := range p.Lanes {
		all = append(all, l.Name)
	}
	return all
}

func TestLanesAreThoseThatTheRigAndTheLogTellOf(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Log.Channel = "aux2"
	r := played(rig, 280*ms, 60*ms)
	findings := tell.Findings(r, tell.DefaultLimits())
	assert.Equal(t, []string{"findings", "camera", "takes", "flicks", "aux2", "position"}, names(Of(r, findings, true)))
	assert.Equal(t, []string{"camera", "takes", "flicks", "position"}, names(Of(r, nil, false)))

	rig.Log.Armed = "arm"
	rig.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 300 * ms}
	r = played(rig, 280*ms)
	r.Belief = []sim.BeliefStretch{{From: 0, To: r.End}}
	assert.Equal(t, []string{"camera", "takes", "flicks", "recording", "aux2", "position", "one-shot", "armed"}, names(Of(r, nil, true)))

	wire := sim.NewChain(sim.TapWire, rig)
	wire.Feed(sim.Sample{At: 0, Channel: sim.LevelLow})
	wire.Feed(sim.Sample{At: s, Channel: sim.LevelHigh})
	assert.Equal(t, []string{"camera", "takes", "flicks", "wire", "armed"}, names(Of(wire.Finish(), nil, true)))
}

// A stage that passes its input on has no lane of its own.
func TestEqualStepsAreFolded(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Switch.Settle, rig.Line.Delay = 10*ms, 40*ms
	p := Of(played(rig, 280*ms, 300*ms), nil, false)
	assert.Equal(t, []string{"settled, 10 ms later", "line", "wire, 40 ms later"}, p.Lane(Levels, "position").Same)
	assert.Nil(t, p.Lane(Levels, "line"))

	rig.Switch.Settle = 290 * ms // the first flick is too short to settle
	p = Of(played(rig, 280*ms, 300*ms), nil, false)
	assert.Empty(t, p.Lane(Levels, "position").Same)
	assert.Equal(t, []string{"line", "wire, 40 ms later"}, p.Lane(Levels, "settled").Same)
}

func TestStretchesSayWhatTheyAre(t *testing.T) {
	r := played(sim.DefaultRig(), 280*ms, 280*ms, 60*ms, 1600*ms, 280*ms)
	p := Of(r, tell.Findings(r, tell.DefaultLimits()), false)
	flicks := p.Lane(Flicks, "")
	var looks []Look
	for i := range flicks.Spans {
		looks = append(looks, flicks.Label(i).Look)
	}
	assert.Equal(t, []Look{Toggled, Toggled, Short, Long, off}, looks)
	assert.Equal(t, Label{Look: Short, Long: "3: 60 ms short", Short: "3", Title: "flick 3 at 0:25.0, 60 ms: short"}, flicks.Label(2))
	assert.Equal(t, "recording", p.Lane(Bands, "camera").Label(1).Long)
	take := p.Lane(Bands, "takes").Label(0)
	assert.Equal(t, "1: 10 s", take.Long)
	assert.Equal(t, Recording, take.Look, "a take has the colour of recording")

	r.Presses[1].Doubtful = true
	assert.True(t, flicks.Label(1).Doubt)
	assert.True(t, p.Lane(Bands, "takes").Label(0).Doubt, "the press that ended it is doubtful")
}

func TestLettersGoOnAfterZ(t *testing.T) {
	marks := Marks(make([]tell.Finding, 800))
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		assert.Equal(t, want, marks[i].Letter)
	}
}

func TestALaneIsFoundByTime(t *testing.T) {
	l := Lane{Kind: Bands, Spans: []sim.Span{{From: 10, To: 20}, {From: 20, To: 30}, {From: 50, To: 60}}}
	for at, want := range map[sim.Micros]int{0: -1, 10: 0, 19: 0, 20: 1, 30: -1, 50: 2, 59: 2, 60: -1} {
		assert.Equal(t, want, l.At(at), at)
	}
	assert.Equal(t, sim.Span{From: 0, To: 10}, l.Around(3, 100))
	assert.Equal(t, sim.Span{From: 30, To: 50}, l.Around(40, 100))
	assert.Equal(t, sim.Span{From: 60, To: 100}, l.Around(70, 100))
	var forward, back []sim.Micros
	for at, ok := l.Next(-1, true); ok; at, ok = l.Next(at, true) {
		forward = append(forward, at)
	}
	for at, ok := l.Next(1000, false); ok; at, ok = l.Next(at, false) {
		back = append(back, at)
	}
	assert.Equal(t, []sim.Micros{10, 20, 30, 50, 60}, forward)
	assert.Equal(t, []sim.Micros{60, 50, 30, 20, 10}, back)

	// A press of a lost signal may begin during a flick.
	l.Spans = []sim.Span{{From: 10, To: 20}, {From: 15, To: 25}}
	next, _ := l.Next(17, true)
	before, _ := l.Next(18, false)
	assert.Equal(t, []sim.Micros{20, 15}, []sim.Micros{next, before})
}

func TestTicksAreRoundAndSayTheirTime(t *testing.T) {
	for name, test := range map[string]struct {
		span sim.Span
		most int
		want []string
	}{
		"microseconds":          {sim.Span{From: 7, To: 9}, 5, []string{"0:00.000007", "0:00.000008", "0:00.000009"}},
		"milliseconds":          {sim.Span{From: s, To: s + 4*ms}, 4, []string{"0:01.000", "0:01.001", "0:01.002", "0:01.003", "0:01.004"}},
		"a part of a log":       {sim.Span{From: 59500 * ms, To: 61 * s}, 3, []string{"0:59.5", "1:00.0", "1:00.5", "1:01.0"}},
		"whole seconds":         {sim.Span{To: 30 * s}, 6, []string{"0:00", "0:05", "0:10", "0:15", "0:20", "0:25", "0:30"}},
		"a quarter of a minute": {sim.Span{To: sim.Minute}, 4, []string{"0:00", "0:15", "0:30", "0:45", "1:00"}},
		"hours":                 {sim.Span{To: 2 * sim.Hour}, 4, []string{"0:00", "30:00", "1:00:00", "1:30:00", "2:00:00"}},
	} {
		var texts []string
		for _, tick := range Ticks(test.span, test.most) {
			texts = append(texts, tick.Text)
		}
		assert.Equal(t, test.want, texts, name)
	}
	rapid.Check(t, func(t *rapid.T) {
		from := sim.Micros(rapid.Int64Range(0, int64(sim.MaxDuration)/2).Draw(t, "from"))
		length := sim.Micros(rapid.Int64Range(1, int64(sim.MaxDuration)/2).Draw(t, "length"))
		most := rapid.IntRange(1, 40).Draw(t, "most")
		ticks := Ticks(sim.Span{From: from, To: from + length}, most)
		if length < 120*sim.Hour*sim.Micros(most) {
			require.LessOrEqual(t, len(ticks), most+1)
		}
		for _, tick := range ticks {
			at, err := sim.ParseClock(tick.Text)
			require.NoError(t, err)
			require.Equal(t, tick.At, at, "a tick stands at the time that it names")
		}
	})
}

// Every visible stretch is in one group, and there are few groups.
func TestThinningLosesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 200 {
		var spans []sim.Span
		at := sim.Micros(0)
		for at < 10*s {
			from := at + sim.Micros(rng.IntN(int(20*ms)))
			at = from + sim.Micros(rng.IntN(int(30*ms)))
			spans = append(spans, sim.Span{From: from, To: at})
		}
		columns := 1 + rng.IntN(300)
		groups := Thin(spans, sim.Span{From: 0, To: at}, columns)
		next := 0
		for _, g := range groups {
			require.Equal(t, next, g.First)
			require.Equal(t, spans[g.First].From, g.From)
			require.LessOrEqual(t, spans[g.Past-1].To, g.To)
			require.LessOrEqual(t, g.Cover, 1.0)
			next = g.Past
		}
		require.Equal(t, len(spans), next)
		require.LessOrEqual(t, len(groups), 2*columns+2)
	}
	assert.Empty(t, Thin([]sim.Span{{From: 0, To: 5}}, sim.Span{From: 10, To: 20}, 3))
}

func TestCountsAddUp(t *testing.T) {
	r := played(sim.DefaultRig(), 280*ms, 60*ms, 60*ms, 280*ms, 1600*ms)
	p := Of(r, nil, false)
	parts := Count(p.Lane(Flicks, ""), sim.Span{From: 0, To: r.End}, 2)
	require.Equal(t, sim.Span{From: 0, To: 30 * s}, parts[0].Span, "a part is as long as a step of the axis")
	require.Len(t, parts, 2)
	assert.Equal(t, 1, parts[0].Of[Toggled])
	assert.Equal(t, 2, parts[0].Of[Short])
	assert.Equal(t, 2, parts[1].Total)
	assert.Equal(t, 1, parts[1].Of[Long])

	parts[0].Add(Short, true)
	assert.Equal(t, []Bar{{Toggled, 0, 1, false}, {Short, 1, 2, false}, {Short, 3, 1, true}}, parts[0].Bars())
	assert.Equal(t, 4, parts[0].Total)
}

func TestMarksThatWouldMoveTooFarDoNotSpread(t *testing.T) {
	moved, ok := SpreadNear([]float64{50, 50, 50}, 10, 0, 100)
	assert.True(t, ok)
	assert.Equal(t, []float64{40, 50, 60}, moved)
	_, ok = SpreadNear(make([]float64, 6), 10, 0, 100) // the last would move by 50
	assert.False(t, ok)
	_, ok = SpreadNear(make([]float64, 12), 10, 0, 100)
	assert.False(t, ok, "no room for all")
}

func TestTheChannelHasOneScale(t *testing.T) {
	assert.Equal(t, Scale{900, 2100}, ScaleOf(sim.Absent, sim.Absent))
	assert.Equal(t, Scale{900, 2200}, ScaleOf(1500, 2200))
	scale := ScaleOf(880, 1500)
	assert.Equal(t, Scale{880, 2100}, scale)
	assert.InDelta(t, 0.5, scale.Share(1490), 1e-9)
	assert.Zero(t, scale.Share(100))
	var texts []string
	for _, v := range scale.Values([]sim.PulseRange{{Low: 1250, High: 2250}}, 0.1) {
		texts = append(texts, v.Text)
	}
	assert.Equal(t, []string{"1250", "1000", "2000", "1500"}, texts)
}

func TestPlacesAreMovedApartAsLittleAsItTakes(t *testing.T) {
	moved, ok := Spread([]float64{10, 11, 50}, 4, 0, 100)
	require.True(t, ok)
	assert.Equal(t, []float64{8.5, 12.5, 50}, moved)
	moved, _ = Spread([]float64{0, 0, 100, 100}, 4, 0, 100)
	assert.Equal(t, []float64{0, 4, 96, 100}, moved)
	_, ok = Spread([]float64{1, 2, 3}, 40, 0, 70)
	assert.False(t, ok)
	moved, ok = Spread(nil, 4, 0, 70)
	assert.True(t, ok)
	assert.Empty(t, moved)
}

func TestTheStripShowsTheZones(t *testing.T) {
	camera := sim.DefaultRig().Camera
	strip := StripOf(camera)
	require.Len(t, strip.Zones, 3)
	var looks []Look
	for _, z := range strip.Zones {
		looks = append(looks, z.Look)
	}
	assert.Equal(t, []Look{Short, Toggled, Long}, looks)
	assert.Zero(t, strip.Zones[0].From)
	assert.InDelta(t, strip.Zones[0].To, 1-strip.Zones[2].From, 0.01, "as much before the window as after it")
	assert.Equal(t, 1.0, strip.Zones[2].To)
	assert.InDelta(t, strip.X(80*ms), strip.Zones[1].From, 1e-12)
	assert.Equal(t, []StripMark{{strip.Zones[1].From, "80 ms"}, {strip.Zones[2].From, "1500 ms"}}, strip.Marks)

	camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	zones := ZonesOf(camera)
	require.Len(t, zones, 4)
	assert.Equal(t, HoldZone{60 * ms, 110 * ms, Unknown, "short or toggles"}, zones[1])
	strip = StripOf(camera)
	require.Len(t, strip.Marks, 2)
	assert.Equal(t, StripMark{(strip.Zones[1].From + strip.Zones[1].To) / 2, "60 to 110 ms"}, strip.Marks[0])
	assert.Equal(t, "1500 ms", strip.Marks[1].Words)

	camera.MinPress = sim.Exactly(80 * ms)
	camera.ToggleOn, camera.LongAction = sim.ToggleOnPress, sim.ActionNone
	zones = ZonesOf(camera)
	require.Len(t, zones, 2)
	assert.Equal(t, HoldZone{80 * ms, sim.Never, Toggled, "toggles"}, zones[1])
}
