package text

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
	"flicktally/sim/rigfile"
	"flicktally/sim/tell"
)

// compared replays the log of a fly function with the default rig and with each
// change of it.
func compared(t *testing.T, fly func(sim.Rig) *sim.Replay, changes ...func(*sim.Rig)) flight.Comparison {
	t.Helper()
	var c flight.Comparison
	for i, change := range append([]func(*sim.Rig){func(*sim.Rig) {}}, changes...) {
		rig := with(change)
		f := judged(t, belief.Observations{}, fly(rig))[0]
		e := flight.ComparedRig{Letter: string(rune('A' + i)), File: "heron.toml", Rig: rig}
		if i > 0 {
			e.Change, e.Differs = "changed", rigfile.Differences(c.Rigs[0].Rig, rig)
		}
		c.Rigs, c.Flights = append(c.Rigs, e), append(c.Flights, f)
		c.Outcomes = append(c.Outcomes, tell.OutcomeOf(f.Replay, f.Findings))
	}
	return c
}

// TestCompare follows two flicks at 10 and 20 s, the second of 2.3 s, with a craft
// armed from 5 to 25 s. With the rig as it is, the take starts on the release at
// 10.3 s and ends as the camera switches off, at 20 + 1.5 s. A one-shot of 300 ms
// ends it at 20.3 s. A camera that toggles on press, 80 ms after the contact,
// records from 10.08 to 20.08 s; 0.22 s of it is too brief for a line.
func TestCompare(t *testing.T) {
	fly := func(rig sim.Rig) *sim.Replay {
		return flownArmed(rig, sim.Span{From: 5 * s, To: 25 * s}, 300*ms, 2300*ms)
	}
	c := compared(t, fly,
		func(*sim.Rig) {},
		func(r *sim.Rig) { r.OneShot.Trigger, r.SignalLoss.Then = sim.TriggerRising, sim.LossRelease },
		func(r *sim.Rig) { r.Camera.ToggleOn = sim.ToggleOnPress })
	assert.Equal(t, `rigs
  A  heron.toml
  B  A changed:  the same as A
  C  A changed:  signal_loss.then "release", not "hold"; oneshot.trigger "rising", not "off"
  D  A changed:  camera.toggle_on "press", not "release"

lake.csv, 0:30.0
                       A       B       C       D
  flicks that toggled  1 of 2  1 of 2  2 of 2  1 of 2
  takes                1       1       1       1
  recorded             11.2 s  11.2 s  10 s    10 s
  armed, not recorded  8.8 s   8.8 s   10 s    10 s
  presses              2       2       2       2
  toggles              1       1       2       2
  long-press           1       1       0       1
  B records the same as A
  A records, C does not  0:20.3 to 0:21.5  1.2 s
  D records, A does not  and 1 shorter than 1 s
  A records, D does not  0:20.1 to 0:21.5  1.4 s
`, printed(func(p *Printer) { p.Comparisons([]flight.Comparison{c}) }))
}

// TestCompareLeavesOutWhatTheLogDoesNotHave: without an armed channel there is no
// row for it, and other rig files go by their own names.
func TestCompareLeavesOutWhatTheLogDoesNotHave(t *testing.T) {
	fly := func(rig sim.Rig) *sim.Replay { return flown(rig, many(4, 300*ms)...) }
	c := compared(t, fly, func(r *sim.Rig) { r.Camera.MinPress = sim.Exactly(400 * ms) })
	c.Rigs[1].File, c.Rigs[1].Change = "patient.toml", ""
	got := printed(func(p *Printer) { p.Comparisons([]flight.Comparison{c, c}) })
	assert.Equal(t, `rigs
  A  heron.toml
  B  patient.toml  camera.min_press "400ms", not "80ms"`, part(t, got, "rigs"))
	// Two takes of 10 s, from the release of one flick to that of the next.
	want := `lake.csv, 0:50.0
                       A       B
  flicks that toggled  4 of 4  0 of 4
  takes                2       0
  recorded             20 s    0 s
  presses              4       4
  toggles              4       0
  short-press          0       4
  A records, B does not  0:10.3 to 0:20.3  10 s
                         0:30.3 to 0:40.3  10 s
`
	assert.Equal(t, part(t, got, "rigs")+"\n\n"+want+"\n"+want, got, "a part for each segment")
}
