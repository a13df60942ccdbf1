package live

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/belief"
)

const (
	ms = sim.Millisecond
	s  = sim.Second
)

// The switch at rest and pressed.
const (
	rest  sim.PulseWidth = 1000
	press sim.PulseWidth = 2000
)

// heron is a rig with a camera that takes a second to start and two to stop.
func heron() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	rig.Camera.StartDelay, rig.Camera.StopDelay = s, 2*s
	rig.Doubt = sim.DoubtSpec{}
	return rig
}

// story follows a switch that is sampled every 10 ms. Samples arrive without delay.
// The wall clock is a minute ahead of the stream.
type story struct {
	t     *testing.T
	tally *Tally
	value sim.PulseWidth
	next  sim.Micros // sample
}

const wall = sim.Minute

func begin(t *testing.T, rig sim.Rig) *story {
	return &story{t: t, tally: New(sim.TapChannel, rig), value: rest}
}

// until feeds samples up to a time, and returns the view at that time.
func (st *story) until(at sim.Micros) View {
	for ; st.next <= at; st.next += 10 * ms {
		st.tally.Feed(wall+st.next, 1, []sim.Sample{{At: st.next, Channel: st.value, Armed: sim.Absent}})
	}
	return st.tally.Look(wall + at).View()
}

// flick presses from one time to another.
func (st *story) flick(from, to sim.Micros) {
	st.until(from - 10*ms)
	st.value = press
	st.until(to - 10*ms)
	st.value = rest
}

func TestATakeAsItHappens(t *testing.T) {
	st := begin(t, heron())
	require.Equal(t, View{Input: Waiting, State: sim.StateUnknown, LongAt: sim.Never, SafeAt: sim.Never}, st.tally.Look(wall).View())

	v := st.until(5 * s)
	require.Equal(t, []any{Running, sim.StateStandby, 0.0, false, 0}, []any{v.Input, v.State, v.Recording, v.Open, v.Take.N})
	require.Equal(t, 5*s, v.SafeAt)

	st.flick(10*s, 10*s+300*ms)
	v = st.until(10*s + 500*ms)
	require.Equal(t, []any{sim.StateStarting, 0.0, sim.VerdictToggle}, []any{v.State, v.Recording, v.Last().Verdict})
	require.Equal(t, 11*s+300*ms, v.SafeAt, "a second after the release")

	v = st.until(52 * s)
	require.Equal(t, []any{sim.StateRecording, 1.0}, []any{v.State, v.Recording})
	require.Equal(t, sim.Take{N: 1, Start: 11*s + 300*ms, End: 52 * s, Ended: sim.EndLog}, v.Take)
	require.Equal(t, []any{1, 40*s + 700*ms}, []any{v.Takes, v.Recorded})

	st.flick(60*s, 60*s+300*ms)
	v = st.until(61 * s)
	require.Equal(t, []any{sim.StateStopping, 0, 1, 49 * s}, []any{v.State, v.Take.N, v.Takes, v.Recorded})
	require.Equal(t, 62*s+300*ms, v.SafeAt)
}

// The phases of a press, by the default window of 80 ms to 1.5 s, and by ranges.
func TestPhasesOfAPress(t *testing.T) {
	exact, ranges, harmless := heron(), heron(), heron()
	harmless.Camera.ToggleOn, harmless.Camera.LongAction = sim.ToggleOnPress, sim.ActionNone
	ranges.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	ranges.Camera.LongPress = sim.Interval{Low: 1200 * ms, High: 1600 * ms}
	for _, tt := range []struct {
		rig    sim.Rig
		held   sim.Micros
		want   Phase
		longAt sim.Micros
	}{
		{exact, 79 * ms, tooShort, 1500 * ms},
		{exact, 80 * ms, Counts, 1500 * ms},
		{exact, 999 * ms, Counts, 1500 * ms},
		{exact, 1000 * ms, LetGo, 1500 * ms},
		{exact, 1499 * ms, LetGo, 1500 * ms},
		{exact, 1501 * ms, IsLong, 1500 * ms},
		{ranges, 59 * ms, tooShort, 1200 * ms},
		{ranges, 61 * ms, mayCount, 1200 * ms},
		{ranges, 111 * ms, Counts, 1200 * ms},
		{ranges, 701 * ms, LetGo, 1200 * ms},
		{ranges, 1201 * ms, MayLong, 1200 * ms},
		{ranges, 1601 * ms, IsLong, 1200 * ms},
		{harmless, 79 * ms, tooShort, sim.Never},
		{harmless, 1400 * ms, Counts, sim.Never},
		{harmless, 1601 * ms, Counts, sim.Never},
	} {
		st := begin(t, tt.rig)
		st.until(990 * ms)
		st.value = press
		v := st.until(s + tt.held)
		at := tt.longAt
		if at != sim.Never {
			at += s
		}
		require.Equal(t, []any{tt.want, at, 1}, []any{v.Phase, v.LongAt, v.InHand.N}, "%s", tt.held)
		st.value = rest
		v = st.until(s + tt.held + 20*ms)
		require.Equal(t, []any{NoPress, 0, sim.Never}, []any{v.Phase, v.InHand.N, v.LongAt})
	}
}

func TestAPressThatIsNotAcceptedIsIgnored(t *testing.T) {
	st := begin(t, heron())
	st.flick(s, s+300*ms)
	st.until(s + 490*ms)
	st.value = press
	v := st.until(s + 900*ms) // while the camera starts
	require.Equal(t, []any{Ignored, sim.Never, 2}, []any{v.Phase, v.LongAt, v.InHand.N})
	require.Equal(t, 2*s+300*ms, v.SafeAt)

	off := heron()
	off.Camera.Start = sim.StartOff
	st = begin(t, off)
	require.Equal(t, sim.Never, st.until(s).SafeAt, "nothing wakes this camera")
}

// With an unknown start a press is reported as what it is in both histories, and the
// chance stays even until somebody looks.
func TestAnUnknownStartUntilSomebodyLooks(t *testing.T) {
	rig := heron()
	rig.Camera.Start = sim.StartUnknown
	st := begin(t, rig)
	v := st.until(2 * s)
	require.Equal(t, []any{sim.StateUnknown, true, 0.5, 2 * s}, []any{v.State, v.Open, v.Recording, v.SafeAt})

	st.until(2*s + 990*ms)
	st.value = press
	v = st.until(3*s + 200*ms)
	require.Equal(t, []any{Counts, 4*s + 500*ms}, []any{v.Phase, v.LongAt})
	st.value = rest
	v = st.until(3*s + 700*ms)
	require.Equal(t, 5*s+210*ms, v.SafeAt, "two seconds after the release if the camera was recording, one if not")

	st.until(20 * s)
	g, ok := st.tally.See(wall+20*s+4567, belief.LightRecording)
	require.True(t, ok)
	require.Equal(t, belief.Glance{At: 20*s + 4*ms, Light: belief.LightRecording}, g, "in whole ms, as replay takes it")
	v = st.until(21 * s)
	require.Equal(t, []any{sim.StateRecording, true, 1.0, 1}, []any{v.State, v.Open, v.Recording, v.Seen})
	require.Equal(t, 1, v.Take.N)

	g, ok = st.tally.Unsee()
	require.True(t, ok)
	require.Equal(t, 20*s+4*ms, g.At)
	require.Equal(t, 0.5, st.until(22*s).Recording)
	_, ok = st.tally.Unsee()
	require.False(t, ok)
}

// After a press for which one of the two possible cameras is busy, both are in the
// same state, and no glance is needed.
func TestAnUnknownStartThatNoLongerMatters(t *testing.T) {
	rig := heron() // a second to start, two to stop
	rig.Camera.Start = sim.StartUnknown
	st := begin(t, rig)
	st.flick(10*s, 10*s+300*ms) // starts one, stops the other
	st.flick(12*s, 12*s+200*ms) // stops the one, comes too soon for the other
	v := st.until(13 * s)
	require.Equal(t, []any{sim.StateUnknown, 14*s + 200*ms}, []any{v.State, v.SafeAt}, "stopping, or in standby")
	v = st.until(15 * s)
	require.Equal(t, []any{sim.StateStandby, 0.0, 15 * s}, []any{v.State, v.Recording, v.SafeAt})
}

// A hold of 90 ms toggles if min_press, uniform on 60 to 110 ms, is not above
// it: with a chance of 3/5 (M9). Glances narrow down min_press.
func TestAGlanceReweights(t *testing.T) {
	rig := heron()
	rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	rig.Camera.LongPress = sim.Interval{Low: 1200 * ms, High: 1600 * ms}
	rig.Camera.StartDelay = 3 * s
	st := begin(t, rig)
	st.flick(s, s+90*ms)
	v := st.until(2 * s)
	require.Equal(t, sim.StateStarting, v.State)
	require.Equal(t, 4*s+90*ms, v.SafeAt, "for it may be starting")
	require.True(t, v.Last().Doubtful)
	v = st.until(5 * s)
	require.InDelta(t, 0.6, v.Recording, 1e-9)

	st.tally.See(wall+5*s, belief.LightStandby)
	v = st.until(6 * s)
	require.Equal(t, []any{sim.StateStandby, 0.0, 6 * s}, []any{v.State, v.Recording, v.SafeAt})
	require.Equal(t, sim.Interval{Low: 90 * ms, High: 110 * ms}, v.MinPress)
	require.Equal(t, rig.Camera.LongPress, v.LongPress)
	require.Empty(t, v.Doubts)

	st.tally.See(wall+6*s, belief.LightOff)
	v = st.until(7 * s)
	require.Len(t, v.Doubts, 1)
	require.Contains(t, v.Doubts[0], "the light seen at 0:06.0 as off")
}

// A glance contradicts the model: one of the presses did nothing, and the tally
// continues from what was seen.
func TestAGlanceAgainstTheModel(t *testing.T) {
	rig := heron()
	rig.Doubt = sim.DefaultRig().Doubt
	st := begin(t, rig)
	st.flick(s, s+300*ms)
	v := st.until(10 * s)
	require.Equal(t, []any{sim.StateRecording, 10 * s, false}, []any{v.State, v.SafeAt, v.Open})

	st.tally.See(wall+10*s, belief.LightStandby)
	v = st.until(10*s + 20*ms)
	require.Equal(t, sim.StateStandby, v.State)
	require.Zero(t, v.Take.N)
	require.InDelta(t, 0.05, v.Recording, 0.005, "0.998·0.0002/2 beside 0.002·0.9998")
	require.Equal(t, sim.VerdictIgnored, v.Last().Verdict)
	require.Empty(t, v.Doubts)

	st.flick(20*s, 20*s+300*ms)
	v = st.until(22 * s)
	require.Equal(t, sim.StateRecording, v.State, "the next press starts a take")
	require.InDelta(t, 0.95, v.Recording, 0.01)
}

// A camera that should be off is seen recording: with sparse samples, a press that the
// log shows as long was not. The next press counts.
func TestAGlanceAtACameraThatShouldBeOff(t *testing.T) {
	rig := heron()
	rig.Doubt = sim.DefaultRig().Doubt
	tally := New(sim.TapChannel, rig)
	feed := func(at sim.Micros, value sim.PulseWidth) {
		tally.Feed(at, 1, []sim.Sample{{At: at, Channel: value, Armed: sim.Absent}})
	}
	for at := sim.Micros(0); at <= 12*s; at += 100 * ms {
		value := rest
		if at >= s && at < s+1500*ms {
			value = press
		}
		feed(at, value)
	}
	v := tally.Look(12 * s).View()
	require.Equal(t, []any{sim.StateOff, sim.Never, true}, []any{v.State, v.SafeAt, v.Last().Doubtful})
	tally.See(12*s, belief.LightRecording)
	v = tally.Look(12 * s).View()
	require.Equal(t, []any{sim.StateRecording, 12 * s}, []any{v.State, v.SafeAt})
	require.Greater(t, v.Recording, 0.99)
}

func TestASignalThatIsNotThere(t *testing.T) {
	st := begin(t, heron()) // stale after 500 ms
	st.until(3 * s)
	look := func(at sim.Micros) View { return st.tally.Look(wall + at).View() }

	require.Equal(t, Running, look(3*s+499*ms).Input)
	v := look(5 * s)
	require.Equal(t, []any{Lost, 2 * s, 5 * s}, []any{v.Input, v.LostFor, v.At}, "nothing comes")

	st.next = 6 * s
	require.Equal(t, Running, st.until(6*s).Input, "it came back")

	st.value = sim.Absent
	v = st.until(9 * s)
	require.Equal(t, []any{Lost, 2*s + 500*ms}, []any{v.Input, v.LostFor}, "what comes is not valid: lost 500 ms after the last valid sample")

	st.tally.End()
	require.Equal(t, Ended, look(10*s).Input)
	require.Equal(t, 9*s, look(10*s).At, "the flight has ended")

	empty := New(sim.TapChannel, heron())
	empty.End()
	require.Equal(t, Ended, empty.Look(0).View().Input)
	_, ok := empty.See(0, belief.LightOff)
	require.False(t, ok)
	require.Empty(t, empty.Finish())
}

// Where a lost signal presses or releases, the view shows that as well.
func TestALossActsBeforeTheNextSample(t *testing.T) {
	rig := heron()
	rig.SignalLoss.Then = sim.LossPress
	st := begin(t, rig)
	st.until(3 * s)
	v := st.tally.Look(wall + 4*s).View()
	require.Equal(t, []any{Lost, Counts, 3*s + 500*ms}, []any{v.Input, v.Phase, v.InHand.Down})
	require.Empty(t, st.tally.Finish()[0].Replay.Presses, "a look into the future is no event")
}

func TestASilentWireIsNoLostSignal(t *testing.T) {
	tally := New(sim.TapWire, heron())
	tally.Feed(wall, 1, []sim.Sample{{Channel: sim.LevelLow}})
	v := tally.Look(wall + sim.Minute).View()
	require.Equal(t, []any{Running, sim.StateStandby}, []any{v.Input, v.State})

	output := New(sim.TapOutput, heron())
	output.Feed(wall, 1, []sim.Sample{{Channel: rest}})
	require.Equal(t, Lost, output.Look(wall+sim.Minute).View().Input)
}

func TestThePresentDoesNotStepBack(t *testing.T) {
	tally := New(sim.TapChannel, heron())
	feed := func(arrived, at sim.Micros) {
		tally.Feed(arrived, 1, []sim.Sample{{At: at, Channel: rest, Armed: sim.Absent}})
	}
	at := func(now sim.Micros) sim.Micros { return tally.Look(now).View().At }
	feed(100*ms, 0)
	require.Equal(t, 190*ms, at(290*ms))
	feed(300*ms, 20*ms) // came 180 ms late
	require.Equal(t, 190*ms, at(300*ms))
	require.Equal(t, 220*ms, at(500*ms))
	require.Equal(t, 320*ms, at(600*ms))
	feed(900*ms, 30*ms) // a stream that is slower than the wall
	require.Equal(t, 30*ms, at(900*ms))
	require.Equal(t, 30*ms+10*sim.Minute, at(sim.Hour), "never more than ten minutes ahead")
	require.Equal(t, 30*ms+10*sim.Minute, at(sim.Hour+1))
}

func TestEverySegmentIsAFlight(t *testing.T) {
	st := begin(t, heron())
	st.flick(s, s+300*ms)
	st.until(5 * s)
	st.tally.See(wall+5*s, belief.LightRecording)
	st.tally.See(wall+5*s+300*ms, belief.LightOff) // after the last sample
	st.tally.Feed(2*wall, 2, []sim.Sample{{At: 0, Channel: rest}, {At: 4 * s, Channel: rest}})
	v := st.tally.Look(2 * wall).View()
	require.Equal(t, []any{2, 4 * s, sim.StateStandby, 0}, []any{v.Segment, v.At, v.State, v.Seen})

	flights := st.tally.Finish()
	require.Len(t, flights, 2)
	require.Len(t, flights[0].Replay.Takes, 1)
	require.Equal(t, []belief.Glance{{At: 5 * s, Light: belief.LightRecording}}, flights[0].Seen)
	require.Equal(t, []belief.Glance{{At: 5*s + 300*ms, Light: belief.LightOff}}, flights[0].Late)
	require.Equal(t, []any{2, 4 * s}, []any{flights[1].Segment, flights[1].Replay.End})
}

// The flight depends on the samples alone, however the stream is divided, whenever it
// arrives and however often it is viewed; and a view shows the same as a log that ends
// there.
func TestLookingChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := heron()
		rig.Camera.MinPress = rapid.SampledFrom([]sim.Interval{sim.Exactly(80 * ms), {Low: 40 * ms, High: 200 * ms}}).Draw(t, "min_press")
		rig.Camera.Start = rapid.SampledFrom(sim.StartStates).Draw(t, "start")
		rig.SignalLoss.Then = rapid.SampledFrom(sim.LossPolicies).Draw(t, "then")
		rig.Line.Delay = 30 * ms
		tally, plain := New(sim.TapChannel, rig), sim.NewChain(sim.TapChannel, rig)
		var at, now sim.Micros
		for range rapid.IntRange(1, 30).Draw(t, "pieces") {
			var piece []sim.Sample
			for range rapid.IntRange(1, 3).Draw(t, "samples") {
				value := rapid.SampledFrom([]sim.PulseWidth{rest, press, sim.Absent}).Draw(t, "value")
				piece = append(piece, sim.Sample{At: at, Channel: value, Armed: sim.Absent})
				plain.Feed(piece[len(piece)-1])
				at += sim.Micros(rapid.IntRange(0, int(s)).Draw(t, "step"))
			}
			now += sim.Micros(rapid.IntRange(0, int(s)).Draw(t, "wait"))
			tally.Feed(now, 1, piece)
			if rapid.Bool().Draw(t, "look") {
				v := tally.Look(now).View()
				shown, err := belief.Resolve(plain.Clone().FinishAt(v.At), belief.Observations{})
				require.NoError(t, err)
				if state := shown.Replay.StateAt(v.At); state != sim.StateUnknown {
					require.Equal(t, state, v.State)
				}
				require.Equal(t, shown.Replay.Recorded(), v.Recorded)
				require.GreaterOrEqual(t, v.SafeAt, v.At)
			}
		}
		flights := tally.Finish()
		require.Len(t, flights, 1)
		require.Equal(t, plain.Finish(), flights[0].Replay)
	})
}
