package main

import (
	"bytes"
	"compress/gzip"
	"flag"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim/chanlog/loggen"
)

var (
	peersDir  = flag.String("peers", "", "folder of the programs of testdata/peers")
	megabytes = flag.Int64("megabytes", 200, "size of the logs that programs are measured with")
)

// comparison is two shell commands that are measured in turn. In them $FT is
// flicktally, $LOG2 and $LOG40 are logs of two and of forty columns, $GZ40 is the
// latter compressed, $EMPTY is a program that does nothing, $PEERS is the folder
// of the peers.
type comparison struct{ name, ours, peer string }

var comparisons = []comparison{
	{"40columns/one/wc", `GOMAXPROCS=1 $FT replay --channel aux2 $LOG40`, `wc -l $LOG40`},
	{"40columns/two/wc", `$FT replay --channel aux2 $LOG40`, `wc -l $LOG40`},
	{"40columns/one/csv", `GOMAXPROCS=1 $FT replay --channel aux2 $LOG40`, `$PEERS/csvedges $LOG40 aux2`},
	{"40columns/one/duckdb", `GOMAXPROCS=1 $FT replay --channel aux2 $LOG40`, `$PEERS/duckdb $LOG40 aux2`},
	{"40columns/two/duckdb", `$FT replay --channel aux2 $LOG40`, `$PEERS/duckdb $LOG40 aux2`},
	{"40columns/two/awk", `$FT replay --channel aux2 $LOG40`, `awk -F, '$26 >= 1250 && NR > 1 && !p {n++} {p = $26 >= 1250} END {print n}' $LOG40`},
	{"2columns/one/wc", `GOMAXPROCS=1 $FT replay $LOG2`, `wc -l $LOG2`},
	{"2columns/two/wc", `$FT replay $LOG2`, `wc -l $LOG2`},
	{"2columns/one/csv", `GOMAXPROCS=1 $FT replay $LOG2`, `$PEERS/csvedges $LOG2 aux2`},
	{"2columns/one/duckdb", `GOMAXPROCS=1 $FT replay $LOG2`, `$PEERS/duckdb $LOG2 aux2`},
	{"2columns/two/duckdb", `$FT replay $LOG2`, `$PEERS/duckdb $LOG2 aux2`},
	{"pipe/wc", `cat $LOG40 | $FT replay --channel aux2 -`, `cat $LOG40 | wc -l`},
	{"gzip/zcat", `$FT replay --channel aux2 $GZ40`, `zcat $GZ40`},
	{"chart40/replay", `$FT chart --force -o $OUT --channel aux2 $LOG40`, `$FT replay --channel aux2 $LOG40`},
	{"chart2/replay", `$FT chart --force -o $OUT $LOG2`, `$FT replay $LOG2`},
	{"help/empty", `$FT help`, `$EMPTY`},
}

// BenchmarkPeers measures whole processes, ours and a peer's in turn, as often as
// -benchtime Nx says; 9x is a good number. It reports the medians of the ratio,
// of both times and of the processor time that we took.
func BenchmarkPeers(b *testing.B) {
	env := peersEnv(b)
	for _, c := range comparisons {
		b.Run(c.name, func(b *testing.B) {
			if strings.Contains(c.peer, "$PEERS") && *peersDir == "" {
				b.Skip("no -peers")
			}
			if tool := strings.Fields(c.peer)[0]; !strings.HasPrefix(tool, "$") {
				if _, err := exec.LookPath(tool); err != nil {
					b.Skip(err)
				}
			}
			var ratios, walls, cpus, peers []float64
			timeShell(b, env, c.ours)
			timeShell(b, env, c.peer)
			for range b.N {
				ours, theirs := timeShell(b, env, c.ours), timeShell(b, env, c.peer)
				ratios = append(ratios, ours.wall/theirs.wall)
				walls = append(walls, ours.wall)
				peers = append(peers, theirs.wall)
				cpus = append(cpus, ours.cpu)
			}
			b.ReportMetric(median(ratios), "ratio")
			b.ReportMetric(median(walls)*1000, "ms")
			b.ReportMetric(median(peers)*1000, "peer-ms")
			b.ReportMetric(median(cpus)*1000, "cpu-ms")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// peersEnv builds the program as it is released, and makes the logs.
func peersEnv(b *testing.B) []string {
	dir := b.TempDir()
	place := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(b, os.WriteFile(place("empty.go"), []byte("package main\n\nfunc main() {}\n"), 0o600))
	for name, pkg := range map[string]string{"flicktally": ".", "empty": place("empty.go")} {
		build := exec.Command("go", "build", "-o", place(name), pkg)
		build.Env = append(os.Environ(), "CGO_ENABLED=0")
		require.NoError(b, build.Run())
	}
	writeLog(b, place("2.csv"), 2)
	writeLog(b, place("40.csv"), 40)
	writeLog(b, place("40.csv.gz"), 40)
	return append(os.Environ(), "FT="+place("flicktally"), "LOG2="+place("2.csv"), "LOG40="+place("40.csv"),
		"GZ40="+place("40.csv.gz"), "OUT="+place("chart.svg"), "EMPTY="+place("empty"), "PEERS="+*peersDir)
}

// writeLog makes a log, compressed if its name says so.
func writeLog(b *testing.B, path string, columns int) {
	file, err := os.Create(path)
	require.NoError(b, err)
	var w io.WriteCloser = file
	if strings.HasSuffix(path, ".gz") {
		w = gzip.NewWriter(file)
		defer func() { require.NoError(b, file.Close()) }()
	}
	_, err = loggen.Write(w, loggen.Shape{Columns: columns, Bytes: *megabytes * 1e6, Seed: 1})
	require.NoError(b, err)
	require.NoError(b, w.Close())
}

// taken is what a command took, in seconds.
type taken struct{ wall, cpu float64 }

func timeShell(b *testing.B, env []string, command string) taken {
	var errors bytes.Buffer
	cmd := exec.Command("sh", "-c", command)
	cmd.Env, cmd.Stderr = env, &errors
	begin := time.Now()
	err := cmd.Run()
	wall := time.Since(begin)
	require.NoError(b, err, "%s: %s", command, errors.String())
	state := cmd.ProcessState
	return taken{wall.Seconds(), (state.UserTime() + state.SystemTime()).Seconds()}
}

func median(values []float64) float64 {
	slices.Sort(values)
	return values[len(values)/2]
}
