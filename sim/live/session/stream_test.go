package session

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/source"
)

var plain = Options{Source: source.Options{Spec: sim.DefaultRig().Log}}

const flick = "time_us,aux2\n0,1000\n1000000,2000\n1300000,1000\n2000000,1000\n"

func TestAStreamIsTalliedAndRecorded(t *testing.T) {
	path := filepath.Join(t.TempDir(), "record.csv")
	record, err := CreateRecord(path, false)
	require.NoError(t, err)
	s := New(sim.DefaultRig(), stopped, record)
	s.Read(Stream("-", strings.NewReader(flick), plain))
	<-s.Ended()
	result := s.Finish()
	require.NoError(t, result.Input)
	require.NoError(t, result.Record)
	require.Len(t, result.Flights, 1)
	require.Len(t, result.Flights[0].Replay.Takes, 1)
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "# flicktally record: channel\ntime_us,channel\n"+strings.SplitN(flick, "\n", 2)[1], string(kept))
}

func TestNoRecordIsLeftWhereNothingCame(t *testing.T) {
	path := filepath.Join(t.TempDir(), "record.csv")
	record, err := CreateRecord(path, false)
	require.NoError(t, err)
	s := New(sim.DefaultRig(), stopped, record)
	s.Read(Stream("-", strings.NewReader(""), plain))
	<-s.Ended()
	require.Empty(t, s.Finish().Flights)
	require.NoFileExists(t, path)
}
