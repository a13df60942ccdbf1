package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Where nothing is supposed, a press is judged by its edges.
func TestM11NothingSupposed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := drawRig(t)
		chain := NewChain(TapChannel, rig)
		chain.FeedAll(drawSamples(t))
		r := chain.Finish()
		require.Equal(t, r.Record, RunSupposed(rig.Camera, r.Window, r.Lanes.Wire, r.End, nil))
	})
}

// A press gets the verdict that is supposed, and acts accordingly: a press of 300
// ms, with a press window of 80 ms to 1.5 s.
func TestM11Supposed(t *testing.T) {
	const down, up, end = Second, 1300 * Millisecond, 10 * Second
	wire := Lane{Edges: []Edge{{At: down, Pressed: true}, {At: up}}}
	spec := DefaultRig().Camera
	for _, tt := range []struct {
		supposed, verdict Verdict
		toggle            ToggleEdge
		acts              Micros
		after             State
	}{
		{"", VerdictToggle, ToggleOnRelease, up, StateRecording},
		{VerdictShort, VerdictShort, ToggleOnRelease, Never, StateStandby},
		{VerdictLong, VerdictLong, ToggleOnRelease, up, StateOff}, // the log puts it after the release
		{VerdictIgnored, VerdictIgnored, ToggleOnRelease, Never, StateStandby},
		{VerdictIgnored, VerdictIgnored, ToggleOnPress, Never, StateStandby},
		{VerdictShort, VerdictShort, ToggleOnPress, Never, StateStandby},
		{VerdictToggle, VerdictToggle, ToggleOnPress, down + 80*Millisecond, StateRecording},
		{VerdictWake, VerdictToggle, ToggleOnRelease, up, StateRecording}, // none of a camera that is on
	} {
		spec.ToggleOn = tt.toggle
		record := RunSupposed(spec, spec.Window(), wire, end, []Verdict{tt.supposed})
		p := record.Presses[0]
		require.Equal(t, []any{tt.verdict, tt.acts, tt.after}, []any{p.Verdict, p.Acts, p.StateAfter}, "%s", tt.supposed)
		require.Equal(t, 300*Millisecond, p.Hold(), "its moments stay those of its edges")
	}
}

// An ignored press is as if it had never been made (M11): it does not keep an
// idle camera awake either (M8).
func TestM11AnIgnoredPressWasNeverMade(t *testing.T) {
	spec := DefaultRig().Camera
	spec.AutoOff = 5 * Second
	wire := Lane{Edges: []Edge{{At: 4 * Second, Pressed: true}, {At: 4300 * Millisecond}}}
	record := RunSupposed(spec, spec.Window(), wire, 20*Second, []Verdict{VerdictIgnored})
	require.Equal(t, []StateChange{{0, StateStandby}, {5 * Second, StateOff}}, record.States)
}

// A press whose edges are overruled has the nearest hold with its verdict.
func TestM11HoldAs(t *testing.T) {
	w := Window{80 * Millisecond, 1500 * Millisecond}
	press := func(hold Micros, v Verdict) Press { return Press{Up: hold, Verdict: v} }
	require.Equal(t, 80*Millisecond-1, w.HoldAs(press(300*Millisecond, VerdictShort)))
	require.Equal(t, 1500*Millisecond-1, w.HoldAs(press(2*Second, VerdictToggle)))
	require.Equal(t, 1500*Millisecond, w.HoldAs(press(300*Millisecond, VerdictLong)))
	require.False(t, w.Overruled(press(300*Millisecond, VerdictToggle)))
	require.False(t, w.Overruled(press(300*Millisecond, VerdictIgnored)))
	require.True(t, w.Overruled(press(300*Millisecond, VerdictShort)))
}
