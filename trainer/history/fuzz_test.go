package history

import (
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"testing"
	"testing/iotest"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer"
)

// sealed gives every line its right check sum, so that the rest of the line is read.
func sealed(text []byte) []byte {
	var all []byte
	for line := range bytes.Lines(text) {
		line = bytes.TrimSuffix(bytes.TrimSuffix(line, []byte("\n")), []byte("}"))
		if at := bytes.LastIndex(line, []byte(sumMark)); at >= 0 {
			line = line[:at]
		}
		all = append(all, line...)
		all = fmt.Appendf(all, "%s%08x\"}\n", sumMark, crc32.ChecksumIEEE(line))
	}
	return all
}

// FuzzRead: reading any file ends, reads each line by itself, and all that it accepts
// can be shown.
func FuzzRead(f *testing.F) {
	j := openTemp(f)
	practise(f, j, trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}, morning, 300*ms, 50*ms)
	whole, err := os.ReadFile(j.File())
	require.NoError(f, err)
	for _, seal := range []bool{false, true} {
		f.Add(whole, seal)
		f.Add(whole[:len(whole)-5], seal)
		f.Add([]byte("\n\n{}\n"), seal)
		f.Add(bytes.ReplaceAll(whole, []byte(`"frame_us":20000`), []byte(`"frame_us":0`)), seal)
	}
	f.Fuzz(func(t *testing.T, text []byte, seal bool) {
		if seal {
			text = sealed(text)
		}
		h, err := readJournal(bytes.NewReader(text))
		require.NoError(t, err)
		lines := bytes.Count(text, []byte("\n"))
		if len(text) > 0 && text[len(text)-1] != '\n' {
			lines++
		}
		read := len(h.Drills)
		for _, d := range h.Drills {
			read += len(d.Runs) + len(d.Flicks) + len(d.Results)
		}
		require.Equal(t, lines, read+h.Damaged)
		for _, d := range h.Damage {
			require.True(t, d.Line >= 1 && d.Line <= lines)
		}
		requireShown(t, h)
	})
}

// requireShown calls all methods of a history.
func requireShown(t *testing.T, h *History) {
	for _, write := range []func(io.Writer, *History) error{WriteFlicks, WriteTrials, WriteJSON} {
		require.NoError(t, write(io.Discard, h))
	}
	for _, d := range h.Drills {
		_, _ = d.Log() // may refuse
		trainer.NewScore(d.Flicks, d.Results)
	}
	for _, p := range h.Profiles() {
		for _, k := range trainer.Kinds {
			p.Last(k)
			past := p.Past(morning)
			past.Reliability(k)
		}
		p.Practised(time.UTC)
		p.firstFlicks()
	}
	h.ColdAt(morning)
}

// A journal with only damaged lines takes no more memory than a short one.
func TestDamageIsListedUpToABound(t *testing.T) {
	h, err := readJournal(bytes.NewReader(bytes.Repeat([]byte("\n"), 10*mostDamage)))
	require.NoError(t, err)
	require.Len(t, h.Damage, mostDamage)
	require.Equal(t, 10*mostDamage, h.Damaged)
}

// A forged line takes neither much time nor much memory.
func TestADrillThatNobodyDid(t *testing.T) {
	j := openTemp(t)
	practise(t, j, trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}, morning, 300*ms)
	whole, err := os.ReadFile(j.File())
	require.NoError(t, err)
	forged := func(old, new string) *History {
		require.Contains(t, string(whole), old)
		h, err := readJournal(bytes.NewReader(sealed(bytes.ReplaceAll(whole, []byte(old), []byte(new)))))
		require.NoError(t, err)
		return h
	}
	t.Run("frames without end", func(t *testing.T) {
		h := forged(`"frame_us":20000`, `"frame_us":1`)
		h.Drills[0].Flicks[0].Moves[0].At = sim.MaxDuration
		_, err := h.Drills[0].Log()
		require.EqualError(t, err,
			fmt.Sprintf("found more than 10000000 frames in drill %q, want a shorter drill", h.Drills[0].ID))
	})
	t.Run("a move after a thousand hours", func(t *testing.T) {
		h := forged(`"moves":[{"at_us":`, `"moves":[{"at_us":999999999`)
		require.EqualError(t, h.Damage[0], "line 3: found a flick at a time beyond any drill")
	})
	t.Run("a run before its drill", func(t *testing.T) {
		h := forged(`"from_us":0`, `"from_us":-1`)
		require.EqualError(t, h.Damage[0], "line 2: found a run at a time beyond any drill")
	})
}

func TestTheErrorOfTheStreamEndsReading(t *testing.T) {
	gone := errors.New("the card is gone")
	_, err := readJournal(io.MultiReader(bytes.NewReader([]byte("{}\n")), iotest.ErrReader(gone)))
	require.ErrorIs(t, err, gone)
}
