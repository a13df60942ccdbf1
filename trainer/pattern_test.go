package trainer

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

func TestReadPattern(t *testing.T) {
	for _, c := range []struct{ name, text string }{
		{"plain", "name Mark rounding\npress 300ms\ngap 700ms\npress 1.2s\n"},
		{"commas", "name,Mark rounding\npress,300ms\ngap,700ms\npress,1.2s"},
		{"comments and blank lines", "# the mark\n\nname  Mark rounding # of two\n  PRESS 300ms # stop\n\tgap 0.7s\n\npress 1200ms\n"},
		{"CRLF and a byte order mark", "\ufeffname Mark rounding\r\npress 300ms\r\ngap 700ms\r\npress 1.2s\r\n"},
	} {
		p, err := ReadPattern(strings.NewReader(c.text), "mark.txt")
		require.NoError(t, err, c.name)
		require.Equal(t, Pattern{"Mark rounding", []sim.Span{{From: 0, To: 300 * ms}, {From: sec, To: 2200 * ms}}}, p, c.name)
		require.Equal(t, 2200*ms, p.Length())
	}
}

func TestReadPatternSaysWhereAndWhat(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", `mark.txt:1: found no press, want lines such as "press 300ms" and "gap 700ms"`},
		{"press 300ms\nhold 2s\n", `mark.txt:2:1: found "hold", want press, gap or name`},
		{"press\n", `mark.txt:1:6: found "", want a number with a unit, such as "80ms", "1.2s" or "250us"`},
		{"press 300\n", `mark.txt:1:7: found "300", want a number with a unit, such as "80ms", "1.2s" or "250us"`},
		{"press 0s\n", `mark.txt:1:7: found "0s", want a length above zero`},
		{"press 300ms 2s\n", `mark.txt:1:13: found "2s" after the length, want one press or gap a line`},
		{"gap 1s\n", `mark.txt:1:1: found a gap before the first press, want a press: it starts the pattern`},
		{"press 1s\npress 1s\n", `mark.txt:2:1: found a press after a press, want a gap between them`},
		{"press 1s\ngap 1s\n gap 1s\n", `mark.txt:3:2: found a gap after a gap, want a press between them`},
		{"press 1s\ngap 1s\n", `mark.txt:2: found a gap at the end, want a press after it`},
		{"press 61s\n", `mark.txt:1:1: found a pattern of 61 s, want at most 60s`},
		{"press 1s\nname x\n", `mark.txt:2:1: found a name, want it once and before the first press`},
		{"name\n", `mark.txt:1:5: found no name after name`},
		{"ügap 1s\n", `mark.txt:1:1: found "ügap", want press, gap or name`},
		{"press ü\n", `mark.txt:1:7: found "ü", want a number with a unit, such as "80ms", "1.2s" or "250us"`},
		{"#\n\nname x\n", `mark.txt:3: found no press, want lines such as "press 300ms" and "gap 700ms"`},
		{"press 1s\n" + strings.Repeat(" ", 64<<10), `mark.txt:2: found a line of more than 64 KiB, want lines such as "press 300ms"`},
		{strings.Repeat("hold", 99), `mark.txt:1:1: found "` + strings.Repeat("hold", 10) + `"…, want press, gap or name`},
		{"press " + strings.Repeat("900h", 99), `mark.txt:1:7: found "` + strings.Repeat("900h", 10) + `", want at most 1000h`},
		{strings.Repeat("press 1ms\ngap 1ms\n", 51), `mark.txt:101:1: found press 51, want at most 50`},
	} {
		_, err := ReadPattern(strings.NewReader(c.text), "mark.txt")
		require.EqualError(t, err, c.want)
	}
}

// TestBuiltInPatternsWork: if a pattern is followed exactly, every press toggles,
// whatever the camera's busy times.
func TestBuiltInPatternsWork(t *testing.T) {
	slow := sim.DefaultRig()
	slow.Camera.StartDelay, slow.Camera.StopDelay = 2*sec, 4*sec
	slower := sim.DefaultRig()
	slower.Camera.StartDelay, slower.Camera.StopDelay = 5*sec, 0
	for _, rig := range append(practiceRigs(), slow, slower) {
		if rig.OneShot.Trigger != sim.TriggerOff {
			continue // there a pulse, not the hold, decides
		}
		for _, p := range builtInPatterns(rig, aimOf(rig)) {
			verdicts := idealVerdicts(rig, p)
			require.Len(t, verdicts, len(p.Presses), p.Name)
			for _, v := range verdicts {
				require.Equal(t, sim.VerdictToggle, v, p.Name)
			}
			require.Less(t, p.Length(), maxPatternLength)
		}
	}
}

// FuzzReadPattern: a pattern without an error has presses in order, none empty,
// within the limits.
func FuzzReadPattern(f *testing.F) {
	f.Add("name Mark rounding\npress 300ms\ngap 700ms\npress 1.2s\n")
	f.Add("press,1s,#x")
	f.Add("press 1s\n" + strings.Repeat("x", 64<<10))
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ReadPattern(strings.NewReader(text), "p")
		if err != nil {
			require.Regexp(t, `^p:[1-9][0-9]*:([1-9][0-9]*:)? found `, err.Error())
			require.Equal(t, excerpt.Printable(err.Error()), err.Error(), "nothing that a terminal would act on")
			require.Less(t, len(err.Error()), 400)
			return
		}
		require.NotEmpty(t, p.Presses)
		require.LessOrEqual(t, p.Length(), maxPatternLength)
		require.Zero(t, p.Presses[0].From)
		for i, s := range p.Presses {
			require.Positive(t, s.Length())
			require.True(t, i == 0 || s.From > p.Presses[i-1].To)
		}
	})
}

func TestReadPatternSaysWhereTheStreamBroke(t *testing.T) {
	gone := errors.New("the card is gone")
	_, err := ReadPattern(io.MultiReader(strings.NewReader("press 1s\n"), iotest.ErrReader(gone)), "mark.txt")
	require.EqualError(t, err, "mark.txt:2: the card is gone")
}

// idealVerdicts returns the verdicts on a pattern's presses of a camera that sees
// exactly these.
func idealVerdicts(rig sim.Rig, p Pattern) []sim.Verdict {
	rig.Camera.Start = sim.StartStandby
	var record sim.Record
	camera := sim.NewCamera(rig.Camera, rig.Camera.Window(), false, &record)
	expire := func(before sim.Micros) {
		for due := camera.Deadline(); due < before; due = camera.Deadline() {
			camera.Expire(due)
		}
	}
	for _, press := range p.Presses {
		expire(press.From + 1)
		camera.Step(sim.Edge{At: press.From + 1, Pressed: true})
		expire(press.To + 1)
		camera.Step(sim.Edge{At: press.To + 1})
	}
	expire(p.Length() + rig.Camera.MinGap + 2)
	var verdicts []sim.Verdict
	for _, press := range record.Presses {
		verdicts = append(verdicts, press.Verdict)
	}
	return verdicts
}
