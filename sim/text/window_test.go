package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/fit"
	"flicktally/sim/flight"
)

func trial(hold sim.Micros, outcome fit.Outcome) fit.Trial {
	return fit.Trial{Hold: hold * ms, Outcome: outcome}
}

// sharp are trials that agree: min_press is between 60 and 80 ms.
var sharp = []fit.Trial{trial(40, fit.Nothing), trial(60, fit.Nothing), trial(80, fit.Toggled), trial(300, fit.Toggled)}

func fitted(t *testing.T, goal fit.Goal, camera sim.CameraSpec, trials ...fit.Trial) (string, fit.Window) {
	t.Helper()
	w, err := fit.Fit(trials, fit.Options{})
	require.NoError(t, err)
	return printed(func(p *Printer) { p.Window(w, goal, camera) }), w
}

func TestWindowWithoutATrial(t *testing.T) {
	got, w := fitted(t, fit.DefaultGoal, sim.DefaultRig().Camera)
	next, _ := w.Next(fit.DefaultGoal)
	assert.Equal(t, `press window from 0 trials
  threshold   range          most likely  from
  min_press   not known yet  -            no trial bears on it
  long_press  not known yet  -            no trial bears on it

next hold to try, for min_press: `+next.Hold.Rounded()+` (a first guess)

not for the rig file yet: min_press is open: no trial did anything, want a longer hold
not for the rig file yet: long_press is open: no trial was long, want a longer hold
`, got)
}

// TestWindowWithOneThreshold: what is known goes into the rig file, and no holds are
// promised before both thresholds are known.
func TestWindowWithOneThreshold(t *testing.T) {
	got, w := fitted(t, fit.DefaultGoal, sim.DefaultRig().Camera, sharp...)
	response := w.MinPress.Response
	assert.Equal(t, `press window from 4 trials
  threshold   range             most likely  from
  min_press   `+w.MinPress.Range.Rounded()+`       `+w.MinPress.Best.Rounded()+`        95 %; if it never jitters: 60 to 80 ms
  long_press  more than 300 ms  -            95 %; not bracketed yet`, part(t, got, "press window"))
	assert.Equal(t, `not for the rig file yet: long_press is open: no trial was long, want a longer hold
for the rig file: wider, since a threshold may jitter from press to press
  [camera]
  min_press = ["`+response.Low.String()+`", "`+response.High.String()+`"]`, part(t, got, "not for"))
	assert.Less(t, response.Low, 60*ms)
	assert.Greater(t, response.High, 80*ms)
	assert.NotContains(t, got, "with these")
}

// TestWindowWithBothThresholds: the holds that toggle are those between the two
// ranges: from the upper end of min_press to below the lower end of long_press. For
// a camera that toggles on press, no hold is too long.
func TestWindowWithBothThresholds(t *testing.T) {
	trials := append(sharp, trial(1000, fit.Toggled), trial(1300, fit.Long))
	for name, test := range map[string]struct {
		change func(*sim.Rig)
		want   string
	}{
		"toggles on release": {func(*sim.Rig) {}, "  with these, a hold from %s to less than %s toggles"},
		"toggles on press, and a long press does nothing": {
			func(r *sim.Rig) { r.Camera.ToggleOn, r.Camera.LongAction = sim.ToggleOnPress, sim.ActionNone },
			"  with these, a hold of %s or more toggles"},
	} {
		got, w := fitted(t, fit.DefaultGoal, with(test.change).Camera, trials...)
		want := strings.Replace(test.want, "%s", w.MinPress.Response.High.Rounded(), 1)
		want = strings.Replace(want, "%s", w.LongPress.Response.Low.Rounded(), 1)
		assert.Equal(t, "for the rig file: wider, since a threshold may jitter from press to press\n  [camera]\n"+
			"  min_press = [\""+w.MinPress.Response.Low.String()+"\", \""+w.MinPress.Response.High.String()+"\"]\n"+
			"  long_press = [\""+w.LongPress.Response.Low.String()+"\", \""+w.LongPress.Response.High.String()+"\"]\n"+want,
			part(t, got, "for the rig file"), name)
	}
}

// TestWindowSaysWhatIsLeftOpen: no trial is left, and 1 ms is less than 4 trials can
// give. long_press may be five times as wide.
func TestWindowSaysWhatIsLeftOpen(t *testing.T) {
	got, w := fitted(t, fit.Goal{Width: ms, Trials: 4}, sim.DefaultRig().Camera, sharp...)
	assert.Equal(t, "min_press is not known to 1 ms after 4 trials: "+w.MinPress.Range.Rounded()+`
long_press is not known to 5 ms after 4 trials: more than 300 ms
More trials narrow this further: raise --trials.`, part(t, got, "min_press is not known"))
	assert.NotContains(t, got, "next hold")
}

// TestWindowReachedItsGoal: nothing is left to try, and nothing is left open.
func TestWindowReachedItsGoal(t *testing.T) {
	trials := append(sharp, trial(1000, fit.Toggled), trial(1300, fit.Long))
	got, _ := fitted(t, fit.Goal{Width: s, Trials: 6}, sim.DefaultRig().Camera, trials...)
	assert.NotContains(t, got, "next hold")
	assert.NotContains(t, got, "not known to")
	assert.NotContains(t, got, "--trials")
}

// TestWindowNamesTrialsThatContradict: 70 ms toggled, and 90 ms did nothing.
func TestWindowNamesTrialsThatContradict(t *testing.T) {
	got, w := fitted(t, fit.DefaultGoal, sim.DefaultRig().Camera, append(sharp, trial(70, fit.Toggled), trial(90, fit.Nothing))...)
	assert.Contains(t, part(t, got, "press window"), "\n  min_press by maximum likelihood, logistic curve: ")
	assert.Contains(t, part(t, got, "press window"),
		"\n  min_press: trials that contradict each other: 3 (80 ms: toggled), 5 (70 ms: toggled), 6 (90 ms: nothing)")
	assert.Contains(t, got, w.Evidence(w.MinPress))
}

func TestWindowThatCannotBeUsed(t *testing.T) {
	for name, test := range map[string]struct {
		trials []fit.Trial
		want   string
	}{
		// 300 ms did nothing and 320 ms was long: no room between the ranges.
		"the ranges meet": {[]fit.Trial{trial(300, fit.Nothing), trial(310, fit.Toggled), trial(320, fit.Long)},
			"leave no hold that toggles for certain, want trials between them: the press window is empty\n"},
		"longer holds do less": {[]fit.Trial{trial(40, fit.Toggled), trial(400, fit.Nothing), trial(60, fit.Toggled), trial(500, fit.Nothing)},
			"\nnot for the rig file yet: min_press cannot be measured: longer holds reach it no more often than shorter ones\n"},
	} {
		got, _ := fitted(t, fit.DefaultGoal, sim.DefaultRig().Camera, test.trials...)
		assert.Contains(t, got, test.want, name)
		assert.NotContains(t, got, "[camera]", name)
	}
}

// TestFoundWindow: the first of two clips is 20 s long, so the press of 100 ms, 10 s
// after its start, did not end it. min_press is then above 90 ms, as rows are 10 ms
// apart. No press was long enough to narrow long_press.
func TestFoundWindow(t *testing.T) {
	rig := flight.OpenWindow(sim.DefaultRig()) // a quarter of each value to four times it
	clips := belief.Observations{Clips: []belief.Clip{{Length: 20 * s}, {Length: 10 * s}}, ClipError: s}
	flights := judged(t, clips, flown(rig, 300*ms, 100*ms, 300*ms, 200*ms, 300*ms))
	flights[0].Card = []string{"2 files"}
	found := flight.FoundWindow(flights)
	assert.Greater(t, found[0].Range.Low, 90*ms)
	narrowed := found[0].Range.Outward(ms)
	known := []fit.Known{{Name: fit.NameMinPress, Range: narrowed}}
	want := `2 files
press window from 1 flight and 2 clips
  threshold   still possible  searched
  min_press   ` + narrowed.Rounded() + `    20 to 320 ms
  long_press  not narrowed    375 to 6000 ms
`
	assert.Equal(t, want, printed(func(p *Printer) { p.FoundWindow(flights, found, nil) }))
	assert.Equal(t, want+"\nfor the rig file\n  [camera]\n  min_press = [\""+narrowed.Low.String()+"\", \""+narrowed.High.String()+"\"]\n",
		printed(func(p *Printer) { p.FoundWindow(flights, found, known) }))
}
