package chanlog

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/chanlog/bitmap"
	"flicktally/sim/chanlog/loggen"
)

// thinRig has bands that noise of a few µs crosses now and then.
func thinRig() sim.Rig {
	rig := sim.DefaultRig()
	rig.Switch.Press = []sim.PulseRange{{Low: 1002, High: 1500}, {Low: 1997, High: 2250}}
	rig.Switch.Hysteresis = 1
	return rig
}

// genUnchanged draws logs, and how to read them. As in real logs, most rows differ
// from the row before only in the time; others differ in anything.
func genUnchanged(t *rapid.T) ([]byte, Options) {
	unit := rapid.SampledFrom([]struct {
		name     string
		exponent int // the unit is 10^exponent µs
	}{{"time_us", 0}, {"time_ms", 3}, {"time_s", 6}}).Draw(t, "unit")
	decimals := rapid.IntRange(0, unit.exponent).Draw(t, "decimals")
	columns := rapid.SampledFrom([]int{2, 3, 4, 5, 6, 20, 40}).Draw(t, "columns")
	places := rapid.Permutation(seq(columns)).Draw(t, "places")
	end := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "line end")

	header := make([]string, columns)
	for i := range header {
		header[i] = fmt.Sprint("c", i)
	}
	opts := Options{Spec: spec(unit.name, "aux2", ""), Lenient: rapid.Bool().Draw(t, "lenient")}
	opts.Spec.Scale = rapid.SampledFrom([]float64{1, 1, 1, 0.5}).Draw(t, "scale")
	header[places[0]], header[places[1]] = unit.name, "aux2"
	if columns > 2 {
		header[places[2]], opts.Spec.Armed = "arm", "arm"
	}
	var log bytes.Buffer
	log.WriteString(strings.Join(header, ",") + end)

	at := rapid.SampledFrom([]int64{0, 99_990, 9_900_000, 4_294_960_000, 1_764_000_000_000_000}).Draw(t, "begin")
	step := rapid.SampledFrom([]int64{1, 900, 20_000, 200_000}).Draw(t, "step")
	noise := rapid.SampledFrom([]int{0, 1, 3}).Draw(t, "noise")
	// How often something happens, in percent of the rows.
	moves := rapid.SampledFrom([]int{0, 10}).Draw(t, "moves")
	jumps := rapid.SampledFrom([]int{0, 10}).Draw(t, "jumps")
	faults := rapid.SampledFrom([]int{0, 5}).Draw(t, "faults")

	// A plain generator, as rapid prefers small numbers.
	random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
	often := func(percent int) bool { return random.IntN(100) < percent }
	value, valueDecimals, armed := 1000.0, random.IntN(3), 2000
	for range random.IntN(100) {
		if often(moves) {
			value = oneOf(random, 1000.0, 1001, 1003, 1500, 2000, 700)
			valueDecimals = random.IntN(3)
		}
		if often(moves / 3) {
			armed = 3000 - armed
		}
		fields := make([]string, columns)
		for i := range fields {
			fields[i] = oneOf(random, "7", "-12.5", "", "1003.25")
		}
		fields[places[0]] = fmt.Sprintf("%.*f", decimals, float64(at)/math.Pow10(unit.exponent))
		fields[places[1]] = fmt.Sprintf("%.*f", valueDecimals, value+float64(random.IntN(noise+1)))
		if columns > 2 {
			fields[places[2]] = fmt.Sprint(armed)
		}
		line := strings.Join(fields, ",") + end
		if often(faults) {
			line = oneOf(random, "x"+line, ","+line, "\""+line, line[1:], line[:len(line)/2]+"\n", "\n",
				strings.Replace(line, "0", ":", 1), strings.Replace(line, ",", "/", 1), strings.Replace(line, "\n", ",\n", 1))
		}
		log.WriteString(line)
		at += step
		if often(jumps) {
			at += oneOf(random, 3, -step, -2*step, 600_000)
		}
	}
	// Enough must follow the last rows, so that they are examined.
	log.WriteString(strings.Repeat("\n", 200))
	return log.Bytes(), opts
}

func oneOf[T any](random *rand.Rand, choices ...T) T { return choices[random.IntN(len(choices))] }

// samplesOf reads a log, and joins its blocks with the number of the segment.
func samplesOf(log []byte, opts Options, w way) (samples []sim.Sample, segments []int, omitted int, r *Reader, err error) {
	opts.Ahead = w.ahead
	r = newReader(bytes.NewReader(log), "heron.csv", opts, w.tuning)
	defer r.Close()
	for {
		block, err := r.Next()
		if err != nil {
			return samples, segments, omitted, r, err
		}
		samples = append(samples, block.Samples...)
		for range block.Samples {
			segments = append(segments, block.Segment)
		}
		for _, o := range block.Omitted {
			omitted += o.Samples
		}
	}
}

// Only what the thinning allows is left out. Everything else is as without it: the
// samples that stay, the summary, the error.
func TestThinLeavesOutWhatItMay(t *testing.T) {
	left, logs := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		log, opts := genUnchanged(t)
		all, segments, _, full, wantErr := samplesOf(log, opts, genWay(t))

		opts.Thin = sim.NewThinning(thinRig())
		opts.Thin.Exact = rapid.Bool().Draw(t, "exact")
		fast := way{tuning: tuning{buffer: rapid.SampledFrom([]int{100, 1000, defaultTuning.buffer}).Draw(t, "buffer of the fast")}}
		kept, _, omitted, thinned, err := samplesOf(log, opts, fast)
		if fmt.Sprint(err) != fmt.Sprint(wantErr) || fmt.Sprint(full.Summary().comparable()) != fmt.Sprint(thinned.Summary().comparable()) {
			t.Fatalf("%q: got %v, %+v, want %v, %+v", log, err, thinned.Summary(), wantErr, full.Summary())
		}
		if len(all)-len(kept) != omitted {
			t.Fatalf("%q: %d samples of %d stay, %d omitted", log, len(kept), len(all), omitted)
		}
		checkThinned(t, opts.Thin, all, segments, kept)
		left += omitted
		if omitted > 0 {
			logs++
		}
	})
	t.Logf("%d samples of %d logs were left out", left, logs)
	if left == 0 {
		t.Error("nothing was ever left out")
	}
}

// checkThinned finds every sample that stayed among all samples, and checks those
// in between.
func checkThinned(t interface{ Fatalf(string, ...any) }, thin sim.Thinning, all []sim.Sample, segments []int, kept []sim.Sample) {
	same := func(a, b sim.PulseWidth) bool { return a == b || a != a && b != b }
	next := 0
	for k, s := range kept {
		from := next
		for next < len(all) && !(all[next].At == s.At && same(all[next].Channel, s.Channel) && same(all[next].Armed, s.Armed)) {
			next++
		}
		if next == len(all) {
			t.Fatalf("%v stays and is not in the log", s)
		}
		if next > from {
			if k == 0 || next+1 >= len(all) || k+1 == len(kept) || kept[k+1] != all[next+1] && !math.IsNaN(float64(kept[k+1].Armed)) {
				t.Fatalf("the first, and the last two of a run, must stay: %v to %v", all[from], all[next])
			}
			first := all[from-1]
			for i := from; i <= next+1; i++ {
				s := all[i]
				if segments[i] != segments[from-1] || s.At <= all[i-1].At || s.At-first.At > thin.Within ||
					!same(s.Armed, first.Armed) || !thin.Alike(first.Channel).Contains(s.Channel) {
					t.Fatalf("%v was left out, or ends those that were, behind %v", s, first)
				}
			}
		}
		next++
	}
}

// Real logs are thinned to little more than the moves.
func TestThinLeavesLittle(t *testing.T) {
	for _, columns := range []int{2, 3, 40} {
		if columns > 3 && !bitmap.Fast {
			continue
		}
		log, made := makeLog(t, loggen.Shape{Columns: columns, Bytes: 1e6})
		opts := Options{Spec: spec("", "aux2", ""), Thin: sim.NewThinning(sim.DefaultRig())}
		kept, _, omitted, _, err := samplesOf(log, opts, plainWay)
		if err != io.EOF || int64(len(kept)+omitted) != made.Rows || len(kept) > int(made.Rows)/25 {
			t.Errorf("%d columns: %d samples stay of %d, error %v", columns, len(kept), made.Rows, err)
		}
	}
}

// All unchanged rows are left out except the first and the last two.
func TestThinRules(t *testing.T) {
	for name, test := range map[string]struct {
		values []string
		want   int
	}{
		"equal values":                            {[]string{"1000", "1000", "1000", "1000", "1000", "1000"}, 3},
		"noise is still once its range was seen":  {[]string{"1000", "1003", "1001", "1002", "1001", "1002"}, 2},
		"what is beyond that range is read":       {[]string{"1000", "1003", "1001", "1005", "1001", "1001"}, 0},
		"a value out of the band moves":           {[]string{"1000", "1000", "1000", "1000", "2000", "2000"}, 1},
		"a value that is not valid moves":         {[]string{"0300", "0300", "0300", "0300", "0300", "0300"}, 0},
		"three rows have none between":            {[]string{"1000", "1000", "1000"}, 0},
		"texts with marks elsewhere do not mix":   {[]string{"1000.5", "999.55", "999.55", "300.55", "300.55", "300.55", "300.55"}, 0},
		"a digit is a digit":                      {[]string{"1000", "1000", "1000", "10:0", "1000", "1000"}, 0},
		"with decimals":                           {[]string{"1000.25", "1000.25", "1000.25", "1000.25", "1000.25"}, 2},
		"a long value is none to compare as text": {[]string{"1000.25000", "1000.25000", "1000.25000", "1000.25000", "1000.25000"}, 0},
	} {
		for _, other := range []string{"", ",x"} { // narrow and wide rows
			if other != "" && !bitmap.Fast {
				continue
			}
			log := "time_us,aux2" + other + "\n0,1500" + other + "\n" // the first row is read the general way
			for i, value := range test.values {
				log += fmt.Sprintf("%d,%s%s\n", 1_000_000+10_000*i, value, other)
			}
			opts := Options{Spec: spec("", "aux2", ""), Lenient: true, Thin: sim.NewThinning(sim.DefaultRig())}
			_, _, omitted, _, err := samplesOf([]byte(log+strings.Repeat("\n", 200)), opts, plainWay)
			if err != io.EOF || omitted != test.want {
				t.Errorf("%s: of %q %d were left out, want %d, error %v", name, log, omitted, test.want, err)
			}
		}
	}
}

// A row among unchanged ones that looks like them at first sight is kept.
func TestThinIsNotTakenIn(t *testing.T) {
	x := func(n int) string { return strings.Repeat("x", n) }
	const header = "time_us,a,b,c,d,e,f,aux2,g"
	still := ",1,1,1,1,1,12345678901,1000," + x(100)
	for name, test := range map[string]struct{ header, still, odd string }{
		"the value is far behind its place":        {header, still, ",1,1,1,1,1," + x(67) + "1000,2000," + x(40)},
		"short fields stand before the value":      {header, still, "," + x(11) + ",,1000,,,,2000," + x(100)},
		"a line ends within":                       {header, still, ",1,1,1,1,1,123456\n8901,1000," + x(100)},
		"a quote opens within":                     {header, still, ",1,1,1,1,1,\"2345678901,1000," + x(100)},
		"a field follows the delimiter at the end": {"time_us,a,aux2", ",xx,1000,", ",xx,1000,5"},
	} {
		log := test.header + "\n0" + test.still + "\n"
		for i, rest := range []string{test.still, test.odd, test.still, test.still, test.still, test.still} {
			log += fmt.Sprint(1_000_000+10_000*i) + rest + "\n"
		}
		log += strings.Repeat("\n", 200)
		opts := Options{Spec: spec("", "aux2", ""), Lenient: true}
		all, segments, _, full, wantErr := samplesOf([]byte(log), opts, way{tuning: tuning{buffer: 1000, general: true}})
		opts.Thin = sim.NewThinning(sim.DefaultRig())
		kept, _, _, thinned, err := samplesOf([]byte(log), opts, plainWay)
		if fmt.Sprint(err) != fmt.Sprint(wantErr) || fmt.Sprint(full.Summary().comparable()) != fmt.Sprint(thinned.Summary().comparable()) {
			t.Errorf("%s: got %v, %+v, want %v, %+v", name, err, thinned.Summary(), wantErr, full.Summary())
		}
		t.Run(name, func(t *testing.T) { checkThinned(t, opts.Thin, all, segments, kept) })
	}
}
