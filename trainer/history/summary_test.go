package history

import (
	"encoding/binary"
	"flag"
	"hash/crc32"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer"
)

// summaryOf returns the path of the summary beside a journal.
func summaryOf(j *Journal) string { return filepath.Join(j.folder, summaryFile) }

// requireBrief checks that the brief history is the whole one without what a summary
// lacks.
func requireBrief(t testing.TB, j *Journal) {
	t.Helper()
	want := read(t, j)
	got, err := j.ReadBrief()
	require.NoError(t, err)
	require.Equal(t, want.Damaged, got.Damaged)
	require.Len(t, got.Damage, len(want.Damage))
	for i := range want.Damage {
		require.EqualError(t, got.Damage[i], want.Damage[i].Error())
	}
	require.Len(t, got.Drills, len(want.Drills))
	for i, d := range want.Drills {
		d.Runs, d.begin = nil, drillPart{}
		for k := range d.Flicks {
			d.Flicks[k].Moves, d.Flicks[k].Presses = nil, nil
		}
		for k := range d.Results {
			d.Results[k].Words = ""
		}
		require.Equal(t, d, got.Drills[i])
	}
}

func threeDrills(t testing.TB) *Journal {
	j := openTemp(t)
	for i, k := range []trainer.Kind{trainer.KindFlick, trainer.KindTake, trainer.KindPattern} {
		practise(t, j, trainer.Setup{Kind: k, Rig: heronRig(), Seed: uint64(i), Cold: i == 0}, morning.AddDate(0, 0, i), 300*ms, 50*ms, 1700*ms, 300*ms)
	}
	return j
}

// TestSummaryTellsTheSame: the summary agrees with the journal when it is made, read and
// continued.
func TestSummaryTellsTheSame(t *testing.T) {
	j := threeDrills(t)
	requireBrief(t, j)
	require.FileExists(t, summaryOf(j))
	requireBrief(t, j)
	practise(t, j, trainer.Setup{Kind: trainer.KindCut, Rig: heronRig(), Seed: 9}, morning.AddDate(0, 0, 5), 300*ms, 300*ms)
	requireBrief(t, j)
	require.NoError(t, j.append([]byte("no record\n")))
	requireBrief(t, j)
	f, err := os.OpenFile(j.File(), os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString(`{"schema":1,"torn`)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	requireBrief(t, j)
	requireBrief(t, j)
}

// TestSummaryIsUsed: a forged summary that fits the journal shows that it is read.
func TestSummaryIsUsed(t *testing.T) {
	j := threeDrills(t)
	requireBrief(t, j)
	text, err := os.ReadFile(summaryOf(j))
	require.NoError(t, err)
	c, _, err := unseal(text)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(summaryOf(j), pack(&History{}, c), 0o600))
	h, err := j.ReadBrief()
	require.NoError(t, err)
	require.Empty(t, h.Drills)
}

// TestSummaryThatDoesNotFit: a summary that is damaged, of another journal or of a longer
// one is made again.
func TestSummaryThatDoesNotFit(t *testing.T) {
	j := threeDrills(t)
	requireBrief(t, j)
	text, err := os.ReadFile(summaryOf(j))
	require.NoError(t, err)
	whole, err := os.ReadFile(j.File())
	require.NoError(t, err)
	for at := 0; at < len(text); at += 1 + len(text)/97 {
		broken := append([]byte(nil), text...)
		broken[at] ^= 0x10
		require.NoError(t, os.WriteFile(summaryOf(j), broken, 0o600))
		requireBrief(t, j)
		mended, err := os.ReadFile(summaryOf(j))
		require.NoError(t, err)
		require.Equal(t, text, mended)
		require.NoError(t, os.WriteFile(summaryOf(j), text[:at], 0o600))
		requireBrief(t, j)
	}
	changed := append([]byte(nil), whole...)
	changed[len(changed)/2] ^= 1
	for _, journal := range [][]byte{whole[:len(whole)/2], changed, whole} {
		require.NoError(t, os.WriteFile(summaryOf(j), text, 0o600))
		require.NoError(t, os.WriteFile(j.File(), journal, 0o600))
		requireBrief(t, j)
	}
}

// TestSummaryThatCannotBeWritten: without a summary the journal is read.
func TestSummaryThatCannotBeWritten(t *testing.T) {
	j := threeDrills(t)
	require.NoError(t, os.Mkdir(filepath.Join(j.folder, summaryNew), 0o700))
	requireBrief(t, j)
	require.NoFileExists(t, summaryOf(j))
}

// TestTwoWhoSummarise: two programs at once leave a journal and a summary that fit.
func TestTwoWhoSummarise(t *testing.T) {
	j := threeDrills(t)
	done := make(chan error)
	for range 2 {
		go func() {
			for range 20 {
				if err := j.append([]byte("no record\n")); err != nil {
					done <- err
					return
				}
				if _, err := At(j.folder).ReadBrief(); err != nil {
					done <- err
					return
				}
			}
			done <- nil
		}()
	}
	require.NoError(t, <-done)
	require.NoError(t, <-done)
	requireBrief(t, j)
	require.Equal(t, 40, read(t, j).Damaged)
}

// FuzzSummary: reading any summary ends and takes memory in proportion to its bytes, and
// an accepted one is written as it was read.
func FuzzSummary(f *testing.F) {
	j := threeDrills(f)
	require.NoError(f, j.append([]byte("no record\n")))
	requireBrief(f, j)
	text, err := os.ReadFile(summaryOf(j))
	require.NoError(f, err)
	for _, seal := range []bool{false, true} {
		f.Add(text, seal)
		f.Add(text[:len(text)/2], seal)
		f.Add([]byte(summaryMark), seal)
	}
	f.Fuzz(func(t *testing.T, text []byte, seal bool) {
		if seal {
			text = binary.BigEndian.AppendUint32(text[:len(text):len(text)], crc32.Checksum(text, castagnoli))
		}
		c, body, err := unseal(text)
		if err != nil {
			return
		}
		h, err := unpack(body)
		if err != nil {
			return
		}
		again := pack(h, c)
		c2, body, err := unseal(again)
		require.NoError(t, err)
		require.Equal(t, c, c2)
		h2, err := unpack(body)
		require.NoError(t, err)
		require.Equal(t, h, h2)
		requireShown(t, h)
	})
}

// longJournal returns a journal with a number of flicks and as many trials, over three
// years.
func longJournal(t testing.TB, flicks int) *Journal {
	j := openTemp(t)
	template := openTemp(t)
	practise(t, template, trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}, morning, 300*ms)
	d := read(t, template).Drills[0]
	rng := rand.New(rand.NewPCG(1, 2))
	const aDrill = 40
	var lines []byte
	for n := range flicks {
		began := morning.UTC().Add(time.Duration(n-n%aDrill) * 15 * time.Minute)
		k := keeper{context: keys, id: began.Format("20060102T150405Z-00000000")}
		if n%aDrill == 0 {
			begin := d.begin
			begin.At = began
			begin.Kind = trainer.Kinds[n/aDrill%2]
			lines = append(lines, k.line(record{Type: typeDrill, Begin: &begin})...)
		}
		flick, trial := d.Flicks[0], d.Results[0]
		flick.N, flick.Up = n%aDrill+1, flick.Up+sim.Micros(rng.NormFloat64()*2e4)
		trial.N, trial.Kind = flick.N, trainer.Kinds[n/aDrill%2]
		lines = append(lines, k.line(record{Type: typeFlick, Flick: newFlickPart(flick)})...)
		lines = append(lines, k.line(record{Type: typeTrial, Trial: (*trialPart)(&trial)})...)
	}
	require.NoError(t, j.append(lines))
	return j
}

var benchJournal = flag.String("journal", "", "where BenchmarkKnown leaves its journal")

// BenchmarkKnown reads what practice starts with from a journal of 100,000 flicks, with
// and without its summary.
func BenchmarkKnown(b *testing.B) {
	j := longJournal(b, 100_000)
	if *benchJournal != "" {
		require.NoError(b, os.CopyFS(*benchJournal, os.DirFS(j.folder)))
	}
	book := NewNotebook(j, heronRig(), keys.Device, "test", func() time.Time { return morning.AddDate(3, 0, 0) })
	book.context.RigHash = keys.RigHash
	known := func(b *testing.B) {
		k, err := book.Known()
		require.NoError(b, err)
		require.NotEmpty(b, k.Last)
	}
	b.Run("without", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			os.Remove(summaryOf(j))
			known(b)
		}
	})
	b.Run("summary", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			known(b)
		}
	})
}
