package history

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/stat"
	"flicktally/trainer"
)

// inNotebook does a drill of some flicks with the given holds and keeps it.
func inNotebook(t *testing.T, n *Notebook, holds ...sim.Micros) *trainer.Drill {
	t.Helper()
	known, err := n.Known()
	require.NoError(t, err)
	d, err := trainer.New(trainer.Setup{
		Kind: trainer.KindFlick, Rig: heronRig(), Past: known.Past, Cold: !known.Practised, Resolution: 9 * ms,
	})
	require.NoError(t, err)
	keep, err := n.Begin(d)
	require.NoError(t, err)
	d.Start(0, 1000)
	at := sim.Micros(0)
	for _, hold := range holds {
		for at += sec; d.View(at).Phase != trainer.PhaseAct; at += 10 * ms {
			d.Tick(at)
		}
		d.Move(at, 2000)
		d.Move(at+hold, 1000)
		at += sec
		d.Tick(at)
		require.NoError(t, keep())
	}
	d.Stop(at + sec)
	require.NoError(t, keep())
	return d
}

func TestANotebookTellsWhatWasPractisedWithThisRigAndDevice(t *testing.T) {
	j, now := openTemp(t), morning
	clock := func() time.Time { return now }
	n := NewNotebook(j, heronRig(), "keyboard", "test", clock)
	known, err := n.Known()
	require.NoError(t, err)
	require.Equal(t, trainer.Known{Past: trainer.NewPast(now), Last: map[trainer.Kind]trainer.Score{}}, known, "nothing yet")

	rig := heronRig()
	rig.Link.Loss = 0
	n = NewNotebook(j, rig, "keyboard", "test", clock)
	inNotebook(t, n, 350*ms, 30*ms)
	now = now.Add(time.Hour)
	last := inNotebook(t, n, 350*ms, 340*ms)
	known, err = n.Known()
	require.NoError(t, err)
	require.True(t, known.Practised)
	require.Equal(t, stat.Rate{Hits: 1, Trials: 1}, known.FirstFlicks, "one day, one first flick")
	require.Equal(t, trainer.NewScore(last.Flicks(), last.Results()), known.Last[trainer.KindFlick])
	require.Equal(t, 3, known.Past.Reliability(trainer.KindFlick).All.Trials, "all but the cold one")

	for i, other := range []*Notebook{
		NewNotebook(j, rig, "Heron transmitter", "test", clock),
		NewNotebook(j, heronRig(), "keyboard", "test", clock),
	} {
		known, err := other.Known()
		require.NoError(t, err)
		require.Empty(t, known.Last, "a profile of its own")
		require.True(t, known.Practised, "the hand is not cold any more")
		require.Equal(t, []sim.Micros{0, 9 * ms}[i], known.Resolution, "it is the device's, on any rig")
	}

	now = now.AddDate(0, 0, 1)
	known, err = n.Known()
	require.NoError(t, err)
	require.False(t, known.Practised, "a new day")
	require.Equal(t, 9*ms, read(t, j).Drills[0].Resolution)
}
