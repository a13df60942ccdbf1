package season

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"github.com/klauspost/compress/gzip"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/fit"
)

// cells is the number of cells into which the range of each threshold is divided.
const cells = 96

// GridOf returns the grid on which the evidence of a season is added up.
func GridOf(rig sim.Rig) belief.Grid { return belief.GridOf(rig.Camera, cells) }

// Evidence is the logarithm of a likelihood over the cells of a grid, in
// millionths, as [belief.Likelihood] returns it.
type Evidence []int64

// MarshalJSON writes the evidence as text: differences as varints, compressed
// with gzip (RFC 1952), in base 64 (RFC 4648).
func (e Evidence) MarshalJSON() ([]byte, error) {
	if e == nil {
		return []byte("null"), nil
	}
	var packed bytes.Buffer
	zip := gzip.NewWriter(&packed)
	last := int64(0)
	var row []byte
	for _, v := range e {
		row = binary.AppendVarint(row, v-last)
		last = v
	}
	if _, err := zip.Write(row); err != nil {
		return nil, err
	}
	if err := zip.Close(); err != nil {
		return nil, err
	}
	return json.Marshal(base64.StdEncoding.EncodeToString(packed.Bytes()))
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (e *Evidence) UnmarshalJSON(text []byte) error {
	var packed []byte
	if err := json.Unmarshal(text, &packed); err != nil {
		return fmt.Errorf("found evidence that is no text in base 64: %w", err)
	}
	*e = nil
	if packed == nil {
		return nil
	}
	zip, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return fmt.Errorf("found damaged evidence: %w", err)
	}
	const most = cells * cells
	plain, err := io.ReadAll(io.LimitReader(zip, most*binary.MaxVarintLen64))
	if err != nil {
		return fmt.Errorf("found damaged evidence: %w", err)
	}
	last := int64(0)
	for len(plain) > 0 {
		v, n := binary.Varint(plain)
		if n <= 0 || len(*e) == most {
			return errors.New("found damaged evidence")
		}
		last += v
		plain = plain[n:]
		*e = append(*e, last)
	}
	return nil
}

// doubtfulTrial is the chance that a bench trial contradicts the thresholds, for
// any reason. One in fifty is an example.
const doubtfulTrial = 0.02

// TrialsEvidence returns the evidence of bench trials, each independent: a hold
// that did nothing is below min_press, one that toggled is between the
// thresholds, one that was long is at least long_press. It is nil if no
// threshold is open.
func TrialsEvidence(rig sim.Rig, trials []fit.Trial) Evidence {
	g := GridOf(rig)
	if g.MinCells*g.LongCells == 1 {
		return nil
	}
	all := make(Evidence, g.MinCells*g.LongCells)
	middle := func(r sim.Interval, i, cells int) sim.Micros {
		return r.Low + (r.High-r.Low)*sim.Micros(2*i+1)/sim.Micros(2*cells)
	}
	for k := range all {
		least, long := middle(g.MinPress, k/g.LongCells, g.MinCells), middle(g.LongPress, k%g.LongCells, g.LongCells)
		for _, trial := range trials {
			want := fit.Toggled
			switch {
			case trial.Hold < least:
				want = fit.Nothing
			case trial.Hold >= long:
				want = fit.Long
			}
			chance := doubtfulTrial / 2
			if trial.Outcome == want {
				chance = 1 - doubtfulTrial
			}
			all[k] += int64(math.Round(1e6 * math.Log(chance)))
		}
	}
	best := slices.Max(all)
	for k := range all {
		all[k] -= best
	}
	return all
}

// Camera is what is known of the thresholds.
type Camera struct {
	grid belief.Grid
	sum  Evidence // of all outings; nil if none had evidence

	MinPress  sim.Interval // contains the threshold with 95 %
	LongPress sim.Interval
	Steps     []Step // how it was learned, by outing
}

// Step is what was known after one more outing, or what that outing's own
// evidence says.
type Step struct {
	Outing              int // index
	MinPress, LongPress sim.Interval
}

// learn adds up the evidence of outings. All thresholds in the rig's ranges are
// equally likely at first. Sums of whole numbers depend neither on the order nor
// on the grouping.
func learn(rig sim.Rig, outings []Outing) Camera {
	c := Camera{grid: GridOf(rig), MinPress: rig.Camera.MinPress, LongPress: rig.Camera.LongPress}
	for i, o := range outings {
		if o.Evidence == nil {
			continue
		}
		if c.sum == nil {
			c.sum = make(Evidence, c.grid.MinCells*c.grid.LongCells)
		}
		for k, v := range o.Evidence {
			c.sum[k] += v
		}
		c.MinPress, c.LongPress = c.within()
		c.Steps = append(c.Steps, Step{i, c.MinPress, c.LongPress})
	}
	return c
}

// Learned reports whether any outing had evidence of the thresholds.
func (c *Camera) Learned() bool { return c.sum != nil }

// Learned returns the ranges learned for the thresholds that the rig does not give
// exactly.
func (s *Season) Learned() []fit.Known {
	var known []fit.Known
	if !s.Rig.Camera.MinPress.Exact() {
		known = append(known, fit.Known{Name: fit.NameMinPress, Range: s.Camera.MinPress})
	}
	if !s.Rig.Camera.LongPress.Exact() {
		known = append(known, fit.Known{Name: fit.NameLongPress, Range: s.Camera.LongPress})
	}
	return known
}

// credible is the chance with which the ranges contain the truth.
const credible = 0.95

// within returns the central ranges of both thresholds.
func (c *Camera) within() (least, longs sim.Interval) {
	lows, highs := c.shares()
	return central(c.grid.MinPress, lows), central(c.grid.LongPress, highs)
}

// shares returns how likely each cell of each threshold is.
func (c *Camera) shares() (least, longs []float64) {
	least, longs = make([]float64, c.grid.MinCells), make([]float64, c.grid.LongCells)
	best, total := slices.Max(c.sum), 0.0
	for k, v := range c.sum {
		w := math.Exp(float64(v-best) / 1e6)
		least[k/c.grid.LongCells] += w
		longs[k%c.grid.LongCells] += w
		total += w
	}
	for _, shares := range [][]float64{least, longs} {
		for i := range shares {
			shares[i] /= total
		}
	}
	return least, longs
}

// central returns the range from the 2.5 to the 97.5 % quantile; within a cell the
// chance is spread evenly.
func central(whole sim.Interval, shares []float64) sim.Interval {
	if whole.Exact() {
		return whole
	}
	return sim.Interval{
		Low:  sim.Micros(math.Floor(quantile(whole, shares, (1-credible)/2))),
		High: sim.Micros(math.Ceil(quantile(whole, shares, (1+credible)/2))),
	}
}

func quantile(whole sim.Interval, shares []float64, p float64) float64 {
	cell := float64(whole.High-whole.Low) / float64(len(shares))
	below := 0.0
	for i, share := range shares {
		if below+share >= p {
			return float64(whole.Low) + cell*(float64(i)+(p-below)/share)
		}
		below += share
	}
	return float64(whole.High)
}
