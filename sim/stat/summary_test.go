package stat

import (
	"bufio"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// readData reads a NIST data set: a number a line, after comments.
func readData(t *testing.T, file string) []float64 {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	var values []float64
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := strings.TrimSpace(lines.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		v, err := strconv.ParseFloat(line, 64)
		require.NoError(t, err)
		values = append(values, v)
	}
	return values
}

// numAcc builds the sets NumAcc3 and NumAcc4: one x.2, then 500 pairs x.1, x.3.
func numAcc(x float64) []float64 {
	values := []float64{x + 0.2}
	for range 500 {
		values = append(values, x+0.1, x+0.3)
	}
	return values
}

// TestSummaryAgainstNIST compares with the certified values of the NIST
// Statistical Reference Datasets, univariate summary statistics
// (itl.nist.gov/div898/strd/univ). The mean must
// agree to 14 digits; of the small deviations of NumAcc3 and NumAcc4 the spacing
// of float64 (1.9e-9 at 10⁷) leaves fewer.
func TestSummaryAgainstNIST(t *testing.T) {
	for _, c := range []struct {
		set            string
		values         []float64
		n              int
		mean, sd       float64
		meanTol, sdTol float64
	}{
		{"Michelso", readData(t, "testdata/nist_michelso.txt"), 100, 299.852400000000, 0.0790105478190518, 1e-12, 1e-14},
		{"Mavro", readData(t, "testdata/nist_mavro.txt"), 50, 2.00185600000000, 0.000429123454003053, 1e-14, 1e-15},
		{"NumAcc1", readData(t, "testdata/nist_numacc1.txt"), 3, 10000002, 1, 0, 0},
		{"NumAcc3", numAcc(1000000), 1001, 1000000.2, 0.1, 1e-8, 1e-9},
		{"NumAcc4", numAcc(10000000), 1001, 10000000.2, 0.1, 1e-7, 1e-8},
	} {
		t.Run(c.set, func(t *testing.T) {
			s := Summarize(c.values)
			require.Equal(t, c.n, s.N)
			require.InDelta(t, c.mean, s.Mean, c.meanTol)
			require.InDelta(t, c.sd, s.SD, c.sdTol)
		})
	}
}

func TestSummaryOfFew(t *testing.T) {
	require.Zero(t, Summarize([]float64{}))
	require.Equal(t, Summary{N: 1, Mean: 3}, Summarize([]int64{3}))
}

func TestMedianIsTheHigherOfTwoInTheMiddle(t *testing.T) {
	values := []int64{5, 1, 9}
	require.Equal(t, int64(5), Median(values))
	require.Equal(t, []int64{5, 1, 9}, values, "the values stay as they are")
	require.Equal(t, 3.0, Median([]float64{4, 1, 3, 2}))
}
