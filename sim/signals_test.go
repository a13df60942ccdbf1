package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSignalsAreThoseOfTheStepsInUse(t *testing.T) {
	used := func(change func(*Rig)) Rig {
		rig := DefaultRig()
		change(&rig)
		return rig
	}
	every := used(func(r *Rig) {
		r.Switch.Settle, r.OneShot.Trigger, r.Line.Delay = Millisecond, TriggerBoth, Millisecond
	})
	for _, tt := range []struct {
		name string
		tap  Tap
		rig  Rig
		want []string
	}{
		{"position and line always", TapChannel, DefaultRig(), []string{"position", "line"}},
		{"a settle", TapChannel, used(func(r *Rig) { r.Switch.Settle = Millisecond }), []string{"position", "settled", "line"}},
		{"a one-shot", TapChannel, used(func(r *Rig) { r.OneShot.Trigger = TriggerRising }), []string{"position", "one-shot", "line"}},
		{"a refresh makes no signal of its own", TapChannel, used(func(r *Rig) { r.Line.Update = Millisecond }), []string{"position", "line"}},
		{"an inverted line", TapChannel, used(func(r *Rig) { r.Line.Active = ActiveLow }), []string{"position", "line", "wire"}},
		{"every step", TapChannel, every, []string{"position", "settled", "one-shot", "line", "wire"}},
		{"from the output on", TapOutput, every, []string{"line", "wire"}},
		{"from the wire on", TapWire, every, []string{"wire"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			chain := NewChainFrom(tt.tap, tt.rig, tt.rig.Camera.Window())
			chain.Feed(Sample{At: 0, Channel: LevelLow})
			chain.Feed(Sample{At: Second, Channel: LevelHigh})
			var names []string
			for _, s := range chain.Finish().Signals() {
				names = append(names, s.Name)
			}
			assert.Equal(t, tt.want, names)
		})
	}
}
