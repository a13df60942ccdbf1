package rigfile_test

import (
	"slices"

	"pgregory.net/rapid"

	"flicktally/sim"
)

// drawRig draws a rig that can work, with every choice and every kind of value.
func drawRig(t *rapid.T) sim.Rig {
	rig := drawLinearRig(t)
	if rapid.Bool().Draw(t, "named scale") {
		rig.Log.Scale, rig.Log.Offset = 1, 0
		rig.Log.ScaleName = rapid.SampledFrom(sim.ScaleNames).Draw(t, "scale name")
	}
	return rig
}

func drawWords(t *rapid.T, name string) []string {
	var words []string
	for range rapid.IntRange(0, 3).Draw(t, name) {
		words = append(words, "w"+rapid.String().Draw(t, "word"))
	}
	return words
}

// drawLinearRig draws one whose scale has no name.
func drawLinearRig(t *rapid.T) sim.Rig {
	return sim.Rig{
		Name: rapid.String().Draw(t, "name"),
		Log: sim.LogSpec{
			Time:       rapid.StringN(1, -1, -1).Draw(t, "time"),
			Unit:       rapid.SampledFrom(sim.TimeUnits).Draw(t, "unit"),
			Channel:    rapid.String().Draw(t, "channel"),
			Scale:      rapid.Float64().Filter(func(f float64) bool { return f != 0 }).Draw(t, "scale"),
			Offset:     rapid.Float64().Draw(t, "offset"),
			Armed:      rapid.String().Draw(t, "armed"),
			ArmedRange: drawRanges(t, "armed range"),
			Words:      drawWords(t, "words"),
			ArmedWords: drawWords(t, "armed words"),
			Failsafe:   rapid.String().Draw(t, "failsafe"),

			FailsafeRange: append([]sim.PulseRange(nil), drawRanges(t, "failsafe range")[rapid.IntRange(0, 1).Draw(t, "no range"):]...),
			FailsafeWords: drawWords(t, "failsafe words"),
		},
		Switch: sim.SwitchSpec{
			Press:      drawRanges(t, "press"),
			Hysteresis: sim.PulseWidth(rapid.Float64Min(0).Draw(t, "hysteresis")),
			Settle:     drawMicros(t, "settle", 0),
			Valid:      drawRanges(t, "valid")[0],
		},
		SignalLoss: sim.SignalLossSpec{
			StaleAfter: drawMicros(t, "stale after", 1),
			Then:       rapid.SampledFrom(sim.LossPolicies).Draw(t, "then"),
		},
		Link: sim.LinkSpec{
			Frame: drawMicros(t, "frame", 0),
			Loss:  drawChance(t, "loss"),
		},
		OneShot: sim.OneShotSpec{
			Trigger: rapid.SampledFrom(sim.Triggers).Draw(t, "trigger"),
			Width:   drawMicros(t, "width", 1),
			Rest:    drawMicros(t, "rest", 0),
		},
		Line: sim.LineSpec{
			Active:  rapid.SampledFrom(sim.Polarities).Draw(t, "active"),
			Update:  drawMicros(t, "update", 0),
			Delay:   drawMicros(t, "delay", 0),
			Boot:    rapid.SampledFrom(sim.BootLevels).Draw(t, "line boot"),
			Through: rapid.SampledFrom(sim.Couplings).Draw(t, "line through"),
			BootFor: drawMicros(t, "boot for", 0),
		},
		Camera: drawCamera(t),
		Doubt: sim.DoubtSpec{
			Sampled:  rapid.Bool().Draw(t, "sampled"),
			Ignored:  drawChance(t, "ignored"),
			Misread:  drawChance(t, "misread"),
			Unlisted: drawChance(t, "unlisted"),
			Foreign:  drawChance(t, "foreign"),
		},
	}
}

func drawChance(t *rapid.T, name string) float64 {
	return rapid.Float64Range(0, 1).Filter(func(f float64) bool { return f < 1 }).Draw(t, name)
}

func drawCamera(t *rapid.T) sim.CameraSpec {
	// The four ends of min_press and long_press, in order; the press window
	// between them is not empty.
	ends := rapid.SliceOfNDistinct(rapid.Int64Range(0, int64(sim.MaxDuration)), 4, 4, rapid.ID[int64]).Draw(t, "thresholds")
	slices.Sort(ends)
	camera := sim.CameraSpec{
		PressedLevel: rapid.SampledFrom(sim.Polarities).Draw(t, "pressed level"),
		MinPress:     sim.Interval{Low: sim.Micros(ends[0]), High: sim.Micros(ends[1])},
		MinGap:       drawMicros(t, "min gap", 0),
		LongPress:    sim.Interval{Low: sim.Micros(ends[2]), High: sim.Micros(ends[3])},
		ToggleOn:     rapid.SampledFrom(sim.ToggleEdges).Draw(t, "toggle on"),
		LongAction:   rapid.SampledFrom(sim.Actions).Draw(t, "long action"),
		LongFires:    rapid.SampledFrom(sim.LongMoments).Draw(t, "long fires"),
		StartDelay:   drawMicros(t, "start delay", 0),
		StopDelay:    drawMicros(t, "stop delay", 0),
		Boot:         drawMicros(t, "boot", 0),
		DoubleAction: rapid.SampledFrom(sim.Actions).Draw(t, "double_action"),
		AutoOff:      rapid.OneOf(rapid.Just(sim.Never), rapid.Just(5*sim.Minute)).Draw(t, "auto_off"),
		WakePress:    drawMicros(t, "wake press", 0),
		WakeInto:     rapid.SampledFrom(sim.WakeStates).Draw(t, "wake into"),
		Start:        rapid.SampledFrom(sim.StartStates).Draw(t, "start"),
	}
	if rapid.Bool().Draw(t, "min press known") {
		camera.MinPress = sim.Exactly(camera.MinPress.Low)
	}
	if rapid.Bool().Draw(t, "long press known") {
		camera.LongPress = sim.Exactly(camera.LongPress.High)
	}
	if rapid.Bool().Draw(t, "never wakes") {
		camera.WakePress = sim.Never
	}
	return camera
}

func drawMicros(t *rapid.T, label string, least sim.Micros) sim.Micros {
	return sim.Micros(rapid.Int64Range(int64(least), int64(sim.MaxDuration)).Draw(t, label))
}

// drawRanges draws ranges apart, in any order.
func drawRanges(t *rapid.T, label string) []sim.PulseRange {
	n := rapid.IntRange(1, 3).Draw(t, label+" count")
	ends := rapid.SliceOfNDistinct(rapid.Float64(), 2*n, 2*n, rapid.ID[float64]).Draw(t, label)
	slices.Sort(ends)
	var ranges []sim.PulseRange
	for i := range n {
		ranges = append(ranges, sim.PulseRange{Low: sim.PulseWidth(ends[2*i]), High: sim.PulseWidth(ends[2*i+1])})
	}
	return rapid.Permutation(ranges).Draw(t, label+" order")
}
