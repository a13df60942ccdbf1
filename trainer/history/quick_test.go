package history

import (
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/trainer"
)

func newQuick() *quickReader { return &quickReader{texts: map[string]string{}} }

// requireQuickAgrees checks that the quick reader refuses a line or reads it as
// decode does, and reports whether it reads it.
func requireQuickAgrees(t require.TestingT, q *quickReader, line []byte) bool {
	got, ok := q.read(line)
	if !ok {
		return false
	}
	want, err := decode(line)
	require.NoError(t, err)
	want.brief()
	require.Equal(t, want, got)
	return true
}

// TestQuickReadsWhatIsWritten: every flick and every trial that encode writes.
func TestQuickReadsWhatIsWritten(t *testing.T) {
	us := func(t *rapid.T) sim.Micros {
		return sim.Micros(rapid.Int64Range(0, int64(sim.MaxDuration)).Draw(t, "us"))
	}
	off := func(t *rapid.T) sim.Micros { return sim.Micros(rapid.Int64Range(-1e12, 1e12).Draw(t, "off")) }
	yes := func(t *rapid.T) bool { return rapid.Bool().Draw(t, "yes") }
	name := rapid.StringMatching(`[a-zA-Z0-9 äß./-]{0,12}`)
	count := rapid.IntRange(-3, 5000)
	rapid.Check(t, func(t *rapid.T) {
		q := newQuick()
		k := keeper{id: name.Draw(t, "id"), context: Context{
			name.Draw(t, "device"), name.Draw(t, "rig"), name.Draw(t, "hash"), name.Draw(t, "version"), us(t),
		}}
		f := trainer.Flick{
			N: count.Draw(t, "n"), Run: count.Draw(t, "run"), Cold: yes(t), Down: us(t), Up: us(t),
			Verdict: sim.Verdict(name.Draw(t, "verdict")), Effect: sim.Effect(name.Draw(t, "effect")),
			Seen: off(t), Margin: off(t), TooClose: yes(t), Unsure: yes(t), Wait: us(t), Took: us(t),
		}
		for range rapid.IntRange(0, 3).Draw(t, "moves") {
			value := rapid.OneOf(rapid.Float64Range(0, 3000), rapid.Float64Range(1, 3000)).Draw(t, "value")
			if rapid.Bool().Draw(t, "whole") || value < 1e-6 {
				value = float64(int(value))
			}
			f.Moves = append(f.Moves, trainer.Move{At: us(t), Value: sim.PulseWidth(value)})
		}
		for range rapid.IntRange(0, 2).Draw(t, "presses") {
			f.Presses = append(f.Presses, sim.Press{
				N: count.Draw(t, "n"), Down: us(t), Up: us(t), Effect: us(t), Acts: rapid.SampledFrom([]sim.Micros{sim.Never, 0, 7}).Draw(t, "acts"),
				Verdict: sim.VerdictToggle, StateAt: sim.StateStandby, StateAfter: sim.StateRecording,
			})
		}
		r := trainer.Result{
			N: count.Draw(t, "n"), Kind: trainer.Kind(name.Draw(t, "kind")), Level: count.Draw(t, "level"), Began: us(t), Ended: us(t),
			Outcome: trainer.Outcome(name.Draw(t, "outcome")), Right: yes(t), Within: yes(t), Uncounted: yes(t), Cold: yes(t),
			Scored: yes(t), Off: off(t), Tolerance: us(t), Top: yes(t), Words: name.Draw(t, "words"),
		}
		flick := k.line(record{Type: typeFlick, Flick: newFlickPart(f)})
		trial := k.line(record{Type: typeTrial, Trial: (*trialPart)(&r)})
		for _, line := range [][]byte{flick, trial, flick} {
			require.True(t, requireQuickAgrees(t, q, bytes.TrimSuffix(line, []byte("\n"))), string(line))
		}
	})
}

// FuzzQuick: the quick reader refuses a line or reads it as decode does, whatever the
// line before it.
func FuzzQuick(f *testing.F) {
	j := threeDrills(f)
	whole, err := os.ReadFile(j.File())
	require.NoError(f, err)
	f.Add(whole)
	for _, change := range [][2]string{
		{`"moves":[`, `"moves":[,`}, {`}]`, `},]`}, {`"n":1,`, `"n":01,`}, {`"n":1,`, `"n":-0,`}, {`"verdict":"toggle"`, `"verdict":"tog\u0067le"`},
		{`"verdict":"toggle"`, "\"verdict\":\"\xff\""}, {`"right":true`, `"right":nope`}, {`"value":2000`, `"value":2000.`}, {`"value":2000`, `"value":2e3`},
		{`"at_us":`, `"at_us":-`}, {`"words":"`, `"words":"` + "\t"}, {`"resolution_us":9000`, `"resolution_us":9000.0`}, {`"schema":1`, `"schema":2`},
	} {
		f.Add(bytes.ReplaceAll(whole, []byte(change[0]), []byte(change[1])))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		q := newQuick()
		for line := range bytes.Lines(sealed(text)) {
			requireQuickAgrees(t, q, bytes.TrimSuffix(line, []byte("\n")))
		}
	})
}
