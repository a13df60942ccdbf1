package history

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer"
)

const (
	ms  = sim.Millisecond
	sec = sim.Second
)

var (
	morning = time.Date(2025, time.June, 2, 9, 30, 0, 0, time.FixedZone("lake", 2*3600))
	keys    = Context{Device: "keyboard", RigName: "Heron", RigHash: "0011223344556677", Version: "test", Resolution: 1400}
)

// practise does a drill of some flicks with the given holds and keeps it.
func practise(t testing.TB, j *Journal, s trainer.Setup, at time.Time, holds ...sim.Micros) *trainer.Drill {
	t.Helper()
	d, err := trainer.New(s)
	require.NoError(t, err)
	keep, err := j.Begin(d, keys, at)
	require.NoError(t, err)
	now := sim.Micros(0)
	d.Start(now, 1000)
	wait := func(for_ sim.Micros) {
		for end := now + for_; now < end; {
			now = min(end, now+10*ms)
			d.Tick(now)
			require.NoError(t, keep())
		}
	}
	for _, hold := range holds {
		wait(4 * ms)
		for d.View(now).Phase != trainer.PhaseAct && now < sim.Minute {
			wait(10 * ms)
		}
		d.Move(now, 2000)
		wait(hold)
		d.Move(now, 1000)
		wait(100 * ms)
	}
	wait(100 * ms)
	d.Stop(now)
	require.NoError(t, keep())
	return d
}

func openTemp(t testing.TB) *Journal {
	t.Helper()
	j, err := Open(filepath.Join(t.TempDir(), "data", "flicktally"))
	require.NoError(t, err)
	return j
}

func read(t testing.TB, j *Journal) *History {
	t.Helper()
	h, err := j.Read()
	require.NoError(t, err)
	return h
}

func heronRig() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	rig.Link = sim.LinkSpec{Frame: 20 * ms, Loss: 0.1}
	rig.Line.Update = 10 * ms
	return rig
}

func TestJournalKeepsAll(t *testing.T) {
	j := openTemp(t)
	require.Empty(t, read(t, j).Drills, "nothing there is an empty history")
	first := practise(t, j, trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1, Cold: true}, morning, 300*ms, 50*ms, 1700*ms)
	second := practise(t, j, trainer.Setup{Kind: trainer.KindTake, Rig: heronRig(), Seed: 2}, morning.Add(time.Hour), 300*ms, 300*ms)
	h := read(t, j)
	require.Empty(t, h.Damage)
	require.Len(t, h.Drills, 2)
	for i, d := range []*trainer.Drill{first, second} {
		got := h.Drills[i]
		require.Equal(t, keys, got.Context)
		require.True(t, got.Began.Equal(morning.Add(time.Duration(i)*time.Hour)))
		require.Equal(t, d.Runs(), got.Runs)
		require.Equal(t, d.Results(), got.Results)
		require.Equal(t, withoutUnseen(d.Flicks()), got.Flicks)
	}
	require.Equal(t, first.Results()[0].Cold, true)
	require.Len(t, h.Drills[0].Flicks, 3)
}

// withoutUnseen removes the times of the samples before the edges, and the number of
// the flick in its run, as the journal has the hand's own moves.
func withoutUnseen(flicks []trainer.Flick) []trainer.Flick {
	var all []trainer.Flick
	for _, f := range flicks {
		presses := f.Presses
		f.Presses = nil
		for _, p := range presses {
			p.DownUnseen, p.UpUnseen, p.Flick = 0, 0, 0
			f.Presses = append(f.Presses, p)
		}
		all = append(all, f)
	}
	return all
}

func TestEveryLineStandsForItself(t *testing.T) {
	j := openTemp(t)
	practise(t, j, trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}, morning, 300*ms)
	text, err := os.ReadFile(j.File())
	require.NoError(t, err)
	types := map[string]int{}
	for line := range strings.Lines(string(text)) {
		var fields map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &fields), "a line is a JSON object")
		for key, want := range map[string]any{
			"schema": 1.0, "device": "keyboard", "rig": "Heron", "rig_hash": "0011223344556677", "version": "test", "resolution_us": 1400.0,
		} {
			require.Equal(t, want, fields[key])
		}
		require.Regexp(t, `,"crc32":"[0-9a-f]{8}"}\n$`, line)
		types[fields["type"].(string)]++
	}
	require.Equal(t, map[string]int{"drill": 1, "run": 1, "flick": 1, "trial": 1}, types)
}

// TestCheckSum: the CRC-32 of "123456789" is cbf43926 (check value of
// CRC-32/ISO-HDLC), so a line that begins like that ends like that.
func TestCheckSum(t *testing.T) {
	_, err := decode([]byte(`123456789,"crc32":"cbf43926"}`))
	require.ErrorContains(t, err, "found a line that is no record")
	_, err = decode([]byte(`123456780,"crc32":"cbf43926"}`))
	require.ErrorContains(t, err, "the line has been changed")
}

func TestDamagedLinesAreToldNotLost(t *testing.T) {
	j := openTemp(t)
	practise(t, j, trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}, morning, 300*ms, 310*ms, 320*ms)
	whole, err := os.ReadFile(j.File())
	require.NoError(t, err)
	lines := bytes.SplitAfter(whole, []byte("\n"))
	for _, c := range []struct {
		name   string
		change func([]byte) []byte
		want   string
	}{
		{"a digit", func(l []byte) []byte { return bytes.Replace(l, []byte(`"n":2`), []byte(`"n":3`), 1) }, "the line has been changed"},
		{"cut", func(l []byte) []byte { return append(l[:40:40], '\n') }, "found no check sum"},
		{"end", func(l []byte) []byte { return append(l[:len(l)-3:len(l)-3], '\n') }, "found no end after the check sum"},
		{"sum", func(l []byte) []byte { return append(l[:len(l)-8:len(l)-8], "zz\"}\n"...) }, "want eight hexadecimal digits"},
		{"empty", func([]byte) []byte { return []byte("\n") }, "found no check sum"},
		{"schema", func(l []byte) []byte { return resum(bytes.Replace(l, []byte(`"schema":1`), []byte(`"schema":2`), 1)) }, "found schema 2, want 1"},
		{"other drill", func(l []byte) []byte { return resum(bytes.Replace(l, []byte(`"drill":"2`), []byte(`"drill":"3`), 1)) }, "whose start is missing"},
		{"part", func(l []byte) []byte {
			return resum(bytes.Replace(l, []byte(`"type":"flick"`), []byte(`"type":"trial"`), 1))
		}, "without its part"},
		{"type", func(l []byte) []byte {
			return resum(bytes.Replace(l, []byte(`"type":"flick"`), []byte(`"type":"flock"`), 1))
		}, "without its part"},
	} {
		damaged := append([][]byte{}, lines...)
		const flick2 = 4 // drill, run, flick, trial, flick
		damaged[flick2] = c.change(lines[flick2])
		h, err := readJournal(bytes.NewReader(bytes.Join(damaged, nil)))
		require.NoError(t, err)
		require.Len(t, h.Damage, 1, c.name)
		require.Equal(t, flick2+1, h.Damage[0].Line)
		require.ErrorContains(t, h.Damage[0], c.want, c.name)
		require.Len(t, h.Drills[0].Flicks, 2, c.name)
	}
}

// resum gives a changed line its right check sum.
func resum(line []byte) []byte {
	at := bytes.LastIndex(line, []byte(sumMark))
	var r record
	if err := json.Unmarshal(append(line[:at:at], '}'), &r); err != nil {
		panic(err)
	}
	return encode(r)
}

// TestTornTail: after a power cut the next program moves the torn line away unchanged,
// and continues after the last whole line.
func TestTornTail(t *testing.T) {
	j := openTemp(t)
	setup := trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}
	practise(t, j, setup, morning, 300*ms)
	whole, err := os.ReadFile(j.File())
	require.NoError(t, err)
	for _, cut := range []int{1, 2, 30, 400} {
		require.NoError(t, os.WriteFile(j.File(), whole[:len(whole)-cut], 0o600))
		os.Remove(filepath.Join(j.folder, tornFile))
		require.Len(t, read(t, j).Drills, 1)
		practise(t, j, setup, morning.Add(time.Hour), 300*ms)

		kept := whole[:bytes.LastIndexByte(whole[:len(whole)-cut], '\n')+1]
		torn, err := os.ReadFile(filepath.Join(j.folder, tornFile))
		require.NoError(t, err)
		require.Equal(t, string(whole[len(kept):len(whole)-cut])+"\n", string(torn))
		after, err := os.ReadFile(j.File())
		require.NoError(t, err)
		require.True(t, bytes.HasPrefix(after, kept))
		h := read(t, j)
		require.Empty(t, h.Damage)
		require.Len(t, h.Drills, 2)
		require.Len(t, h.Drills[1].Flicks, 1)
	}
}

// TestPracticeReplaysFromTheJournal: a drill replays to the presses that were
// judged.
func TestPracticeReplaysFromTheJournal(t *testing.T) {
	j := openTemp(t)
	rig := heronRig()
	rig.Camera.LongAction = sim.ActionPowerOff
	d := practise(t, j, trainer.Setup{Kind: trainer.KindFlick, Rig: rig, Seed: 9}, morning, 300*ms, 50*ms, 1700*ms, 400*ms, 85*ms, 300*ms)
	runs, err := read(t, j).Find("last").Log()
	require.NoError(t, err)
	var judged, replayed []sim.Press
	for _, f := range d.Flicks() {
		judged = append(judged, f.Presses...)
	}
	for _, run := range runs {
		chain := sim.NewChain(sim.TapChannel, rig)
		for _, s := range run.Samples {
			chain.Feed(s)
		}
		replayed = append(replayed, chain.Finish().Presses...)
	}
	require.Len(t, d.Runs(), 2, "the camera had to be switched on again")
	require.Len(t, judged, 6)
	require.Len(t, replayed, 6)
	for i, p := range replayed {
		require.Equal(t, judged[i].Hold(), p.Hold())
		require.Equal(t, judged[i].Verdict, p.Verdict)
		require.Equal(t, judged[i].StateAfter, p.StateAfter)
	}
}

// TestProfiles: each rig and each device has a profile of its own; a renamed rig is the
// same rig.
func TestProfiles(t *testing.T) {
	j := openTemp(t)
	setup := trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}
	practise(t, j, setup, morning, 300*ms, 300*ms)
	practise(t, j, setup, morning.Add(time.Hour), 300*ms)
	practise(t, j, setup, morning.Add(2*time.Hour), 300*ms)
	h := read(t, j)
	h.Drills[1].Device, h.Drills[2].RigName = "transmitter", "Heron two"

	profiles := h.Profiles()
	require.Len(t, profiles, 2)
	require.Equal(t, []string{"transmitter", "keyboard"}, []string{profiles[0].Device, profiles[1].Device}, "the latest comes last")
	require.Equal(t, "Heron two", profiles[1].RigName)
	past := profiles[1].Past(morning)
	require.Equal(t, 3, past.Reliability(trainer.KindFlick).Trials)
	require.Same(t, h.Drills[2], profiles[1].Last(trainer.KindFlick))
	require.Nil(t, profiles[1].Last(trainer.KindTake))
	require.Len(t, profiles[1].Practised(time.UTC), 2)

	none := h.Profile("other", "keyboard")
	past = none.Past(morning)
	require.Zero(t, past.Reliability(trainer.KindFlick).Trials)
	require.Equal(t, profiles[0], h.Profile(keys.RigHash, "transmitter"))
}

// TestADrillLeftAtOnceCountsForNone: it remains in the journal, but makes no profile and
// is not the latest drill.
func TestADrillLeftAtOnceCountsForNone(t *testing.T) {
	j := openTemp(t)
	practise(t, j, trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}, morning, 300*ms)
	practise(t, j, trainer.Setup{Kind: trainer.KindSteady, Rig: sim.DefaultRig(), Seed: 1}, morning.Add(time.Hour))
	h := read(t, j)
	require.Len(t, h.Drills, 2)
	require.Len(t, h.Profiles(), 1)
	require.Len(t, h.Profiles()[0].Drills, 1)
	require.Same(t, h.Drills[0], h.Find("last"))
	require.Same(t, h.Drills[1], h.Find(h.Drills[1].ID))
}

func TestColdIsTheFirstOfTheDay(t *testing.T) {
	j := openTemp(t)
	require.True(t, read(t, j).ColdAt(morning))
	practise(t, j, trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}, morning)
	require.True(t, read(t, j).ColdAt(morning.Add(time.Hour)), "a drill without a flick is no practice")
	practise(t, j, trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}, morning, 300*ms)
	require.False(t, read(t, j).ColdAt(morning.Add(time.Hour)))
	require.True(t, read(t, j).ColdAt(morning.Add(24*time.Hour)))
	require.False(t, read(t, j).ColdAt(morning.In(time.UTC)))
}

func TestExports(t *testing.T) {
	j := openTemp(t)
	practise(t, j, trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}, morning, 300*ms, 50*ms)
	h := read(t, j)
	h.Drills[0].RigName = `=HYPERLINK("x")`
	for _, c := range []struct {
		write   func(io.Writer, *History) error
		columns []string
	}{{WriteFlicks, flickColumns}, {WriteTrials, trialColumns}} {
		var out bytes.Buffer
		require.NoError(t, c.write(&out, h))
		require.Contains(t, out.String(), "\r\n")
		rows, err := csv.NewReader(&out).ReadAll()
		require.NoError(t, err)
		require.Len(t, rows, 3)
		require.Equal(t, c.columns, rows[0])
		require.Equal(t, "2025-06-02T07:30:00Z", rows[1][1])
		require.Equal(t, `'=HYPERLINK("x")`, rows[1][4], "a spreadsheet must not read a name as a formula")
	}
	var out bytes.Buffer
	require.NoError(t, WriteJSON(&out, h))
	var all struct {
		Schema int
		Drills []struct {
			Device string
			Flicks []struct {
				Down sim.Micros `json:"down_us"`
				Up   sim.Micros `json:"up_us"`
			}
			Begin struct {
				Aim sim.Micros `json:"aim_us"`
			}
			Trials []struct {
				Result trainer.Outcome
				Right  bool
			}
		}
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &all))
	require.Equal(t, schema, all.Schema)
	require.Equal(t, "keyboard", all.Drills[0].Device)
	require.Equal(t, 50*ms, all.Drills[0].Flicks[1].Up-all.Drills[0].Flicks[1].Down)
	require.Equal(t, true, all.Drills[0].Trials[0].Right)
	require.Equal(t, trainer.OutcomeRight, all.Drills[0].Trials[0].Result)
	require.Equal(t, trainer.OutcomeMissed, all.Drills[0].Trials[1].Result)
	require.Equal(t, 340*ms, all.Drills[0].Begin.Aim)
}

// TestOldJournalsAreReadOn: before results had names, a trial was right or not.
func TestOldJournalsAreReadOn(t *testing.T) {
	for _, c := range []struct {
		kind  trainer.Kind
		right bool
		want  trainer.Outcome
	}{
		{trainer.KindFlick, true, trainer.OutcomeRight}, {trainer.KindFlick, false, trainer.OutcomeMissed},
		{trainer.KindBlind, false, trainer.OutcomeOff}, {trainer.KindHandsOff, false, trainer.OutcomeEarly},
	} {
		old := encode(record{Schema: schema, Type: typeTrial, Trial: &trialPart{Kind: c.kind, Right: c.right}})
		require.NotContains(t, string(old), `"result"`)
		r, err := decode(old[:len(old)-1])
		require.NoError(t, err)
		require.Equal(t, c.want, r.Trial.result().Outcome)
		require.Equal(t, c.right, r.Trial.result().Right)
	}
	flick := flickPart{Verdict: sim.VerdictToggle}
	require.True(t, flick.flick().Toggled())
}
