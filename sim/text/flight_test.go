package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
	"flicktally/sim/belief"
)

// TestThresholdSource: only a default is called an example.
func TestThresholdSource(t *testing.T) {
	other := sim.Exactly(300 * sim.Millisecond)
	for want, set := range map[string]func(*sim.CameraSpec){
		"examples until you measure them (flicktally calibrate)":                                      func(*sim.CameraSpec) {},
		"from the rig file, but long_press is an example until you measure it (flicktally calibrate)": func(c *sim.CameraSpec) { c.MinPress = other },
		"from the rig file, but min_press is an example until you measure it (flicktally calibrate)":  func(c *sim.CameraSpec) { c.LongPress = other },
		"from the rig file": func(c *sim.CameraSpec) { c.MinPress, c.LongPress = other, sim.Exactly(sim.Second) },
	} {
		c := sim.DefaultRig().Camera
		set(&c)
		assert.Equal(t, want, ThresholdSource(c))
	}
}

func TestFlightWithoutAFlick(t *testing.T) {
	// 10 s in rows of 10 ms: 1000 steps, so 1001 rows.
	assert.Equal(t, `lake.csv
no flicks; nothing recorded in 10 s

no flick

no take

no findings

  log  0:10.0, 1001 samples, one every 10 ms; a shorter flick may not show
  rig  a hold from 80 ms to less than 1500 ms toggles on release; a longer one: power-off
       min_press and long_press are examples until you measure them (flicktally calibrate)
       pressed from 1250 to below 2250 µs
`, replayed(t, false, flown(sim.DefaultRig())))
}

func TestFlightOfOneFlick(t *testing.T) {
	got := replayed(t, false, flown(sim.DefaultRig(), 300*ms))
	// The take starts on the release, at 10 + 0.3 s. Each of the flick's two moves may
	// be up to a row earlier than it shows, so the hand held for 300 ± 10 ms. The
	// nearest threshold is min_press: 300 − 80 = 220 ms.
	assert.Equal(t, "lake.csv\nthe one flick toggled; recorded 9.7 s of 20 s, in 1 take", part(t, got, "lake.csv"))
	assert.Equal(t, `  flick  at      held    by hand        outcome  margin           then
  1      0:10.0  300 ms  290 to 310 ms  toggled  220 ms to spare  recording`, part(t, got, "  flick"))
	assert.Equal(t, `  take  from    to      length  ended by
  1     0:10.3  0:20.0  9.7 s   the end of the log`, part(t, got, "  take"))
	assert.Equal(t, `findings
  0:20.0  recording-at-end: take 1 was still running when the log ended
          → stop the take before you switch anything off: a file that is not
            closed may be unreadable`, part(t, got, "findings"))
}

// TestFlightMarksDoubt: a hold of 80 ms in rows of 10 ms was between 70 and 90 ms,
// with min_press at 80 ms. It toggled or not with equal chances, and the report
// says so in the verdict, in the row of the flick, in what is not known and in the
// findings.
func TestFlightMarksDoubt(t *testing.T) {
	got := replayed(t, false, flown(sim.DefaultRig(), 300*ms, 80*ms, 2300*ms, 300*ms))
	assert.Equal(t, `lake.csv
2 of 4 flicks toggled (1 long, 1 off), 1 of them doubtful; recorded 9.8 s of 50
s, in 1 take`, part(t, got, "lake.csv"))
	assert.Equal(t, `  flick  at      held     by hand          outcome             margin           then
  1      0:10.0  300 ms   290 to 310 ms    toggled             220 ms to spare  recording
  2      0:20.0  80 ms    70 to 90 ms      toggled (doubtful)  0 ms to spare    standby
  3      0:30.0  2300 ms  2290 to 2310 ms  long                800 ms too long  off
  4      0:40.0  300 ms   290 to 310 ms    off                 -                off`, part(t, got, "  flick"))
	// It is settled at 30 + 1.5 s, when the long press switches the camera off.
	assert.Contains(t, part(t, got, "what is not known"), "\n  recording       0:20.1 to 0:31.5  50 %\n")
	assert.Contains(t, part(t, got, "findings"), `
  0:20.0  doubtful-press: flick 2 is doubtful: toggle with a chance of 50 %, but
          another verdict is possible, as the camera and the hold are not known
          exactly
          → `)
}

// TestFlightWithRangesForThresholds: a margin is a range as well, and "up to" one if
// the hold lies within the range. The camera is the one of the likeliest history.
func TestFlightWithRangesForThresholds(t *testing.T) {
	got := replayed(t, false, flown(ranged(), 300*ms, 100*ms, 300*ms))
	// min_press is 60 to 160 ms: 300 ms has 140 to 240 ms to spare, and 100 ms is at
	// most 160 − 100 = 60 ms too short, with a chance of (160 − 100)/(160 − 60) = 60 %.
	// If it is more than 100 ms, its middle is (100 + 160)/2 = 130 ms; that of
	// long_press is (900 + 1500)/2 = 1200 ms.
	assert.Equal(t, `  flick  at      held    by hand        outcome           margin                  then
  1      0:10.0  300 ms  290 to 310 ms  toggled           140 to 240 ms to spare  recording
  2      0:20.0  100 ms  90 to 110 ms   short (doubtful)  up to 60 ms too short   recording
  3      0:30.0  300 ms  290 to 310 ms  toggled           140 to 240 ms to spare  standby`, part(t, got, "  flick"))
	assert.Contains(t, part(t, got, "what is not known"), `what is not known
  min_press           60 to 160 ms
  long_press          900 to 1500 ms
`)
	assert.Contains(t, part(t, got, "  log"), `
  rig  most likely a hold from 130 ms to less than 1200 ms toggles on release; a longer one: power-off
       min_press and long_press are from the rig file
`)
}

// TestFlightNarrowsARange: the camera stood by at 25 s, so the press of 100 ms, by
// hand at most 110 ms, ended the take. min_press is then below 110 ms.
func TestFlightNarrowsARange(t *testing.T) {
	seen := belief.Observations{Seen: []belief.Glance{{At: 25 * s, Light: belief.LightStandby}}}
	flights := judged(t, seen, flown(ranged(), 300*ms, 100*ms, 300*ms))
	got := printed(func(p *Printer) { p.Flights(flights, false) })
	narrowed := flights[0].Known.MinPress
	assert.Equal(t, 60*ms, narrowed.Low)
	assert.Greater(t, narrowed.High, 100*ms)
	assert.LessOrEqual(t, narrowed.High, 110*ms)
	assert.Equal(t, "narrowed down, for the rig file\n  [camera]\n  min_press = [\"60ms\", \""+
		narrowed.Outward(100*sim.Microsecond).High.String()+"\"]", part(t, got, "narrowed down"))
	assert.NotContains(t, replayed(t, false, flown(ranged(), 300*ms, 100*ms, 300*ms)), "narrowed down", "nothing observed")
}

// TestFlightSaysWhatWasMissed: the armed time that no take covers.
func TestFlightSaysWhatWasMissed(t *testing.T) {
	unknown := with(func(r *sim.Rig) { r.Camera.Start = sim.StartUnknown })
	for name, test := range map[string]struct {
		rig   sim.Rig
		armed sim.Span
		holds []sim.Micros
		want  string
	}{
		"a stretch before and one between the takes": {sim.DefaultRig(), sim.Span{From: 5 * s, To: 35 * s}, many(3, 300*ms),
			"  missed while armed, 15.3 s: 0:05.0 to 0:10.3, 0:20.3 to 0:30.3"}, // 5.3 + 10 s
		"armed only during a take": {sim.DefaultRig(), sim.Span{From: 10300 * ms, To: 20 * s}, many(2, 300*ms),
			"  missed nothing while armed"},
		"in an unknown state": {unknown, sim.Span{From: 5 * s, To: 35 * s}, many(2, 300*ms),
			"  it is not known what was missed while armed"},
	} {
		got := replayed(t, false, flownArmed(test.rig, test.armed, test.holds...))
		assert.Contains(t, got, test.want+"\n\n", name)
	}
	assert.NotContains(t, replayed(t, false, flown(sim.DefaultRig(), 300*ms)), "missed", "the log does not say when it was armed")
}

// TestFlightDescribesItsRig: each stage that shapes a press has its words.
func TestFlightDescribesItsRig(t *testing.T) {
	for name, test := range map[string]struct {
		change func(*sim.Rig)
		want   string
	}{
		"a hold may be too long": {func(r *sim.Rig) { r.Camera.LongAction = sim.ActionNone },
			"  rig  a hold from 80 ms to less than 1500 ms toggles on release; a longer one: none\n"},
		"no hold is too long": {func(r *sim.Rig) { r.Camera.ToggleOn, r.Camera.LongAction = sim.ToggleOnPress, sim.ActionNone },
			"  rig  a hold of 80 ms or longer toggles on press\n"},
		"a one-shot": {func(r *sim.Rig) { r.OneShot.Trigger = sim.TriggerRising },
			"       pressed from 1250 to below 2250 µs; one-shot of 300 ms (rising)\n"},
		"a line that is refreshed": {func(r *sim.Rig) { r.Line.Update = 20 * ms },
			"       pressed from 1250 to below 2250 µs; line refreshed every 20 ms\n"},
	} {
		assert.Contains(t, replayed(t, false, flown(with(test.change), 300*ms, 300*ms)), test.want, name)
	}
}

// TestFlightSaysHowItWasRead: the rig's name, the sender, what was detected, what
// is odd, and the card.
func TestFlightSaysHowItWasRead(t *testing.T) {
	flights := judged(t, belief.Observations{}, flown(with(func(r *sim.Rig) { r.Name = "Heron" }), 300*ms))
	flights[0].Reading = sim.Reading{Sender: "system 1", Facts: []string{"delimiter comma"}, Odd: []string{"times go back"}}
	flights[0].Card = []string{"1 file", "by name"}
	got := printed(func(p *Printer) { p.Flights(flights, false) })
	assert.Contains(t, got, "Heron, lake.csv: system 1\n")
	assert.Equal(t, `  log   0:20.0, 2001 samples, one every 10 ms; a shorter flick may not show
        delimiter comma
        note: times go back
  rig   a hold from 80 ms to less than 1500 ms toggles on release; a longer one: power-off
        min_press and long_press are examples until you measure them (flicktally calibrate)
        pressed from 1250 to below 2250 µs
  card  1 file
        by name
`, part(t, got, "  log")+"\n")
}

// TestALongFlightShowsFactsOnlyIfLinesWereLost: a note is always shown.
func TestALongFlightShowsFactsOnlyIfLinesWereLost(t *testing.T) {
	for name, test := range map[string]struct {
		reading    sim.Reading
		full, want bool
	}{
		"nothing lost":         {sim.Reading{}, false, false},
		"nothing lost, --full": {sim.Reading{}, true, true},
		"a skipped line":       {sim.Reading{SkippedLines: 1}, false, true},
		"a torn line":          {sim.Reading{TornLines: 1}, false, true},
	} {
		flights := judged(t, belief.Observations{}, flown(sim.DefaultRig(), many(6, 300*ms)...))
		flights[0].Reading = test.reading
		flights[0].Reading.Facts, flights[0].Reading.Odd = []string{"delimiter comma"}, []string{"times go back"}
		got := part(t, printed(func(p *Printer) { p.Flights(flights, test.full) }), "  log")
		assert.Equal(t, test.want, strings.Contains(got, "delimiter comma"), name)
		assert.Contains(t, got, "note: times go back", name)
	}
}

// TestSeveralFlightsAreAddedUp: two flights share a card with one clip of their two
// takes, of 10 and 9.7 s, and one clip of another day. The card is described once,
// with the totals.
func TestSeveralFlightsAreAddedUp(t *testing.T) {
	seen := belief.Observations{Clips: []belief.Clip{{Name: "old.mp4", Length: 3 * s}, {Name: "regatta.mp4", Length: 10 * s}}, ClipError: s}
	flights := judged(t, seen, flown(sim.DefaultRig(), 300*ms, 300*ms), flown(sim.DefaultRig(), 300*ms))
	for i := range flights {
		flights[i].Card = []string{"2 files"}
	}
	got := printed(func(p *Printer) { p.Flights(flights, false) })
	assert.Equal(t, `clips
  clip  name         length  take  its length  off by
  1     old.mp4      3 s     none  -           -
  2     regatta.mp4  10 s    1     10 s        +0 ms`, part(t, got, "clips"))
	assert.Contains(t, got, "\n\nlake.csv (segment 2 of 2)\nthe one flick toggled; recorded 9.7 s of 20 s, in 1 take\n")
	assert.Equal(t, `2 flights in all
all 3 flicks toggled; recorded 19.7 s of 50 s, in 2 takes
on the card: 1 of 2 takes; 1 clip that no take explains`, part(t, got, "2 flights in all"))
	assert.Equal(t, `                             flicks toggled  takes  recorded  armed, not recorded  clips
  lake.csv (segment 1 of 2)  2 of 2          1      10 s      -                    2
  lake.csv (segment 2 of 2)  1 of 1          1      9.7 s     -                    -
  card                       2 files`, part(t, got, "    "))
	assert.Equal(t, 1, strings.Count(got, "2 files"))
	assert.Equal(t, []string{"2 files"}, flights[0].Card, "the flights stay as they were")
}

// TestTotalsOfArmedTime: 5 to 10.3 s was missed in each of two equal flights.
func TestTotalsOfArmedTime(t *testing.T) {
	r := func() *sim.Replay {
		return flownArmed(sim.DefaultRig(), sim.Span{From: 5 * s, To: 15 * s}, 300*ms, 300*ms)
	}
	got := printed(func(p *Printer) { p.Flights(judged(t, belief.Observations{}, r(), r()), false) })
	assert.Equal(t, `2 flights in all
all 4 flicks toggled; recorded 9.4 s of 20 s armed, in 2 takes
armed 20 s, recorded 9.4 s of it, missed 10.6 s`, part(t, got, "2 flights in all"))
}
