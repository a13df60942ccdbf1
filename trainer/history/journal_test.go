package history

import (
	"bufio"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/trainer"
)

// childFolder is the environment variable that makes the test binary practise in a
// folder until it is killed.
const childFolder = "FLICKTALLY_TEST_PRACTISE_IN"

func TestMain(m *testing.M) {
	if folder := os.Getenv(childFolder); folder != "" {
		practiseForEver(folder)
	}
	os.Exit(m.Run())
}

// practiseForEver writes one flick after another, and prints a line after each.
func practiseForEver(folder string) {
	j, err := Open(folder)
	if err != nil {
		panic(err)
	}
	for seed := uint64(1); ; seed++ {
		d, err := trainer.New(trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: seed})
		if err != nil {
			panic(err)
		}
		keep, err := j.Begin(d, keys, morning)
		if err != nil {
			panic(err)
		}
		d.Start(0, 1000)
		for now := 4 * sec; !d.Over(); now += 4 * sec {
			d.Move(now, 2000)
			d.Move(now+300*ms, 1000)
			d.Tick(now + sec)
			if err := keep(); err != nil {
				panic(err)
			}
			os.Stdout.WriteString(".\n")
		}
	}
}

// TestKillLosesAtMostTheFlickInHand: programs that practise in the same folder and are
// killed at any moment leave a journal with every flick that they reported, and without
// a damaged line.
func TestKillLosesAtMostTheFlickInHand(t *testing.T) {
	j := openTemp(t)
	const programs, least = 3, 40
	var wait sync.WaitGroup
	told := make([]int, programs)
	for i := range programs {
		child := exec.Command(os.Args[0])
		child.Env = append(os.Environ(), childFolder+"="+j.folder)
		out, err := child.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, child.Start())
		wait.Go(func() {
			for lines := bufio.NewScanner(out); lines.Scan(); told[i]++ {
				if told[i] == least {
					child.Process.Kill()
				}
			}
			child.Wait()
		})
	}
	wait.Wait()
	setup := trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1}
	practise(t, j, setup, morning, 300*ms)
	h := read(t, j)
	require.Empty(t, h.Damage)
	kept := 0
	for _, d := range h.Drills {
		kept += len(d.Flicks)
	}
	reported := 1
	for _, n := range told {
		require.Greater(t, n, least)
		reported += n
	}
	require.GreaterOrEqual(t, kept, reported)
	require.LessOrEqual(t, kept, reported+2*programs)
}

// TestManyJournalsAtOnce: writers in the same folder do not disturb each other.
func TestManyJournalsAtOnce(t *testing.T) {
	j := openTemp(t)
	var wait sync.WaitGroup
	for seed := range uint64(4) {
		wait.Go(func() {
			own, err := Open(j.folder)
			if err != nil {
				t.Error(err)
				return
			}
			setup := trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: seed}
			practise(t, own, setup, morning.Add(time.Duration(seed)*time.Minute), 300*ms, 200*ms, 400*ms)
		})
	}
	wait.Wait()
	h := read(t, j)
	require.Empty(t, h.Damage)
	require.Len(t, h.Drills, 4)
	for _, d := range h.Drills {
		require.Len(t, d.Flicks, 3)
		require.Len(t, d.Results, 3)
	}
}

func TestFolderThatCannotBe(t *testing.T) {
	file := t.TempDir() + "/file"
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	_, err := Open(file + "/below")
	require.ErrorContains(t, err, "cannot create the folder of the practice journal")
}
