package belief

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// The twin of M11: particles, each a whole flight with its own thresholds, start,
// holds and ignored presses, weighted by what was seen. It is written plainly,
// from the rules, and shares no code with what it checks but the types.

var (
	particles       = flag.Int("particles", 60_000, "particles of a flight")
	particleFlights = flag.Int("particle-flights", 4, "flights that particles are compared with, and a quarter as many outings")
)

// particle is one flight as it may have been. Times are in µs, as floats.
type particle struct {
	rng         *rand.Rand
	c           sim.CameraSpec
	d           sim.DoubtSpec
	least, long float64
	odds        float64   // of what was drawn, beside what happens
	times       []float64 // of changes of state
	states      []sim.State
	takes       []particleTake
	verdicts    []sim.Verdict
	began       float64
	busyTo      float64 // end of a state that passes without a press
	then        sim.State
	standby     float64 // since when it is in standby
	released    float64 // since when the line is released; infinite while it is pressed
	waits       float64 // when the press that waits for a second one toggles (M12); infinite where none does
	waiting     int     // its place among the verdicts
	paired      bool    // the press in hand went down in time
	walk        *walk   // nil where holds and ignored presses are drawn
}

type particleTake struct {
	from, to           float64
	fromStart, openEnd bool
}

func (p *particle) state() sim.State { return p.states[len(p.states)-1] }

func (p *particle) enter(at float64, s sim.State) {
	if p.state() == sim.StateRecording && s != sim.StateRecording {
		p.takes = append(p.takes, particleTake{from: p.began, to: at, fromStart: p.began < 0, openEnd: s == sim.StateUnknown})
	}
	switch s {
	case sim.StateRecording:
		p.began = at
	case sim.StateStandby:
		p.standby = at
	}
	p.times, p.states = append(p.times, at), append(p.states, s)
}

// pass enters a state for a time.
func (p *particle) pass(at float64, s sim.State, lasts sim.Micros, then sim.State) {
	p.enter(at, s)
	p.busyTo, p.then = at+float64(lasts), then
	p.settle(at)
}

// settle lets what takes no time pass.
func (p *particle) settle(now float64) {
	if p.busyTo <= now {
		p.busyTo = math.Inf(1)
		p.enter(now, p.then)
	}
}

// upTo lets what happens without a press happen.
func (p *particle) upTo(now float64) {
	for {
		idle := math.Inf(1)
		if p.state() == sim.StateStandby && p.c.AutoOff != sim.Never {
			idle = max(p.standby, p.released) + float64(p.c.AutoOff)
		}
		toggles := math.Inf(1)
		if !p.paired {
			toggles = p.waits
		}
		switch {
		case toggles <= now && toggles <= idle && toggles <= p.busyTo:
			p.waits = math.Inf(1)
			p.toggle(toggles)
		case p.busyTo <= now && p.busyTo <= idle:
			at := p.busyTo
			p.busyTo = math.Inf(1)
			p.enter(at, p.then)
		case idle <= now:
			p.enter(idle, sim.StateOff)
		default:
			return
		}
	}
}

func (p *particle) toggle(at float64) {
	if p.state() == sim.StateRecording {
		p.pass(at, sim.StateStopping, p.c.StopDelay, sim.StateStandby)
	} else {
		p.pass(at, sim.StateStarting, p.c.StartDelay, sim.StateRecording)
	}
}

func (p *particle) longAction(at float64) {
	switch p.c.LongAction {
	case sim.ActionPowerOff:
		p.busyTo = math.Inf(1)
		p.enter(at, sim.StateOff)
	case sim.ActionUnknown:
		p.busyTo = math.Inf(1)
		p.enter(at, sim.StateUnknown)
	}
}

// press follows M7, M8 and M11 for one press of the log.
func (p *particle) press(logged sim.Press, end sim.Micros) {
	down := float64(logged.Down)
	p.upTo(down)
	open := logged.Open()
	up := float64(end)
	if !open {
		up = float64(logged.Up)
	}
	effect := up + float64(p.c.MinGap)
	at := p.state()
	accepts := at == sim.StateStandby || at == sim.StateRecording
	hold, ignored := p.hold(logged, up-down, at), false
	if accepts {
		ignored = p.ignores()
	}
	if ignored {
		p.verdicts = append(p.verdicts, sim.VerdictIgnored)
		return
	}
	p.released = math.Inf(1)
	if !open {
		defer func() { p.upTo(up); p.released = up }()
	}
	switch {
	case at == sim.StateUnknown:
		p.verdicts = append(p.verdicts, sim.VerdictUnknown)
	case at == sim.StateOff:
		if p.c.WakePress != sim.Never && hold >= float64(p.c.WakePress) {
			p.pass(min(down+float64(p.c.WakePress), effect), sim.StateBooting, p.c.Boot, sim.State(p.c.WakeInto))
			p.verdicts = append(p.verdicts, sim.VerdictWake)
		} else {
			p.verdicts = append(p.verdicts, sim.VerdictOff)
		}
	case !accepts:
		p.verdicts = append(p.verdicts, sim.VerdictBusy)
	default:
		p.accepted(down, effect, hold, open)
	}
}

// hold draws how long a press was held.
func (p *particle) hold(logged sim.Press, hold float64, at sim.State) float64 {
	if logged.Open() || !p.d.Sampled || logged.FromStart {
		return hold
	}
	if p.walk != nil {
		return p.walk.hold(p, logged, at)
	}
	return hold + p.rng.Float64()*float64(logged.DownUnseen) - p.rng.Float64()*float64(logged.UpUnseen)
}

// ignores draws whether an accepted press is ignored. That is drawn more often
// than it happens, and weighs less, so that the particles include what is rare.
func (p *particle) ignores() bool {
	if p.walk != nil {
		return p.walk.choose(p, 1-p.d.Ignored, p.d.Ignored) == 1
	}
	const often = 0.1
	if p.rng.Float64() < often {
		p.odds *= p.d.Ignored / often
		return true
	}
	p.odds *= (1 - p.d.Ignored) / (1 - often)
	return false
}

func (p *particle) accepted(down, effect, hold float64, open bool) {
	actsAt := func(threshold float64, early bool) float64 {
		if early && down+threshold < effect-float64(p.c.MinGap) {
			return down + threshold
		}
		return effect
	}
	if p.c.DoubleWithin > 0 {
		p.inPairs(down, effect, hold, open)
		return
	}
	onPress := p.c.ToggleOn == sim.ToggleOnPress
	early := p.c.LongFires == sim.LongAtThreshold
	isLong := hold >= p.long
	if hold >= p.least && (onPress || !isLong && !open) {
		p.toggle(actsAt(p.least, onPress))
	}
	if isLong && (early || !open) {
		at := actsAt(p.long, early)
		p.upTo(at)
		p.longAction(at)
	}
	switch {
	case open && isLong && early:
		p.verdicts = append(p.verdicts, sim.VerdictLong)
	case open:
		p.verdicts = append(p.verdicts, sim.VerdictOpen)
	case isLong:
		p.verdicts = append(p.verdicts, sim.VerdictLong)
	case hold < p.least:
		p.verdicts = append(p.verdicts, sim.VerdictShort)
	default:
		p.verdicts = append(p.verdicts, sim.VerdictToggle)
	}
}

// inPairs is accepted for a camera that waits for a second press (M12).
func (p *particle) inPairs(down, effect, hold float64, open bool) {
	p.paired = !math.IsInf(p.waits, 1)
	first := p.paired
	early := p.c.LongFires == sim.LongAtThreshold
	switch {
	case hold >= p.long && (early || !open):
		at := effect
		if early {
			at = min(at, down+p.long)
		}
		if first {
			p.waits, p.paired = math.Inf(1), false
			p.toggle(at)
		}
		p.upTo(at)
		p.longAction(at)
		p.verdicts = append(p.verdicts, sim.VerdictLong)
	case open:
		p.verdicts = append(p.verdicts, sim.VerdictOpen) // and what waits goes on waiting
		return
	case hold < p.least:
		p.paired = false
		p.waits = max(p.waits, effect)
		if !first {
			p.waits = math.Inf(1)
		}
		p.upTo(effect)
		p.verdicts = append(p.verdicts, sim.VerdictShort)
	case first:
		p.waits = math.Inf(1)
		p.upTo(effect)
		switch p.c.DoubleAction {
		case sim.ActionPowerOff:
			p.busyTo = math.Inf(1)
			p.enter(effect, sim.StateOff)
		case sim.ActionUnknown:
			p.busyTo = math.Inf(1)
			p.enter(effect, sim.StateUnknown)
		}
		p.verdicts[p.waiting] = sim.VerdictDouble
		p.verdicts = append(p.verdicts, sim.VerdictDouble)
	default:
		p.waits, p.waiting = effect+float64(p.c.DoubleWithin), len(p.verdicts)
		p.verdicts = append(p.verdicts, sim.VerdictToggle)
	}
	p.paired = false
}

// stateAt returns the state at a time.
func (p *particle) stateAt(t float64) sim.State {
	i := len(p.times) - 1
	for p.times[i] > t {
		i--
	}
	return p.states[i]
}

// weight is the likelihood of what was seen.
func (p *particle) weight(seen Observations) float64 {
	w := p.odds
	for _, g := range seen.Seen {
		s := p.stateAt(float64(g.At))
		light := map[sim.State]Light{
			sim.StateRecording: LightRecording, sim.StateStandby: LightStandby, sim.StateStarting: LightStandby,
			sim.StateStopping: LightStandby, sim.StateOff: LightOff, sim.StateBooting: LightOff, sim.StateUnknown: g.Light,
		}[s]
		if light == g.Light {
			w *= 1 - p.d.Misread
		} else {
			w *= p.d.Misread / 2
		}
	}
	if seen.Clips != nil {
		w *= p.listed(seen, 0, 0, math.Inf(-1), math.Inf(1))
	}
	return w
}

// offsets narrows the offsets of the card's clock to those at which a clip can be of
// the take. There is none, and low is above high, if the lengths differ.
func (t particleTake) offsets(c Clip, err, low, high float64) (float64, float64) {
	from := max(0, t.from)
	over := float64(c.Length) - (t.to - from)
	if over < -err || over > err && !t.fromStart && !t.openEnd {
		return 1, 0
	}
	if c.HasStart {
		low = max(low, float64(c.Start)-from-err)
		if !t.fromStart {
			high = min(high, float64(c.Start)-from+err)
		}
	}
	return low, high
}

// listed sums over all matchings of the takes from i on with the clips from j on.
func (p *particle) listed(seen Observations, i, j int, low, high float64) float64 {
	if i == len(p.takes) {
		if p.states[len(p.states)-1] == sim.StateUnknown {
			return 1
		}
		return math.Pow(p.d.Foreign, float64(len(seen.Clips)-j))
	}
	sum := p.d.Unlisted * p.listed(seen, i+1, j, low, high)
	t := p.takes[i]
	for k := j; k < len(seen.Clips); k++ {
		if l, h := t.offsets(seen.Clips[k], float64(seen.ClipError), low, high); l <= h {
			sum += math.Pow(p.d.Foreign, float64(k-j)) * (1 - p.d.Unlisted) * p.listed(seen, i+1, k+1, l, h)
		}
	}
	return sum
}

// reference is the result of the particles for a flight.
type reference struct {
	recording []float64 // at the moments asked for
	verdicts  []map[sim.Verdict]float64
	histories map[string]float64 // by historyOf
	effective float64            // how many particles of equal weight are as informative
}

// historyOf names a history: the start and the outcome of every press (M11).
func historyOf(start sim.State, verdicts []sim.Verdict) string { return fmt.Sprint(start, verdicts) }

// golden and silver are of the plastic number: their multiples are an even spread
// in two dimensions.
const golden, silver = 0.7548776662466927, 0.5698402909980532

// flyParticle flies one particle, with thresholds at two places of their ranges,
// from 0 to 1.
func flyParticle(rng *rand.Rand, r *sim.Replay, least, long float64) *particle {
	p := newParticle(r, least, long)
	p.rng = rng
	start := sim.State(p.c.Start)
	if p.c.Start == sim.StartUnknown {
		start = []sim.State{sim.StateStandby, sim.StateRecording}[rng.IntN(2)]
	}
	return p.fly(r, start)
}

func newParticle(r *sim.Replay, least, long float64) *particle {
	c := r.Rig.Camera
	spread := func(in sim.Interval, x float64) float64 { return float64(in.Low) + x*float64(in.High-in.Low) }
	return &particle{c: c, d: r.Rig.Doubt, busyTo: math.Inf(1), waits: math.Inf(1), began: -1, odds: 1,
		least: spread(c.MinPress, least), long: spread(c.LongPress, long)}
}

// fly flies a particle from a state.
func (p *particle) fly(r *sim.Replay, start sim.State) *particle {
	p.times, p.states = []float64{0}, []sim.State{start}
	for _, press := range r.Presses {
		p.press(press, r.End)
	}
	p.upTo(float64(r.End))
	if p.state() == sim.StateRecording {
		p.takes = append(p.takes, particleTake{p.began, float64(r.End), p.began < 0, true})
	}
	p.takes = slices.DeleteFunc(p.takes, func(t particleTake) bool { return t.to <= max(0, t.from) })
	return p
}

// flyParticles weighs n particles. Their thresholds are spread evenly, the rest
// is drawn.
func flyParticles(r *sim.Replay, seen Observations, moments []sim.Micros, n int) reference {
	rng := rand.New(rand.NewPCG(3, 5))
	ref := reference{recording: make([]float64, len(moments)), verdicts: make([]map[sim.Verdict]float64, len(r.Presses)), histories: map[string]float64{}}
	for i := range ref.verdicts {
		ref.verdicts[i] = map[sim.Verdict]float64{}
	}
	total, squares := 0.0, 0.0
	for i := range n {
		p := flyParticle(rng, r, math.Mod(float64(i)*golden, 1), math.Mod(float64(i)*silver, 1))
		w := p.weight(seen)
		total += w
		squares += w * w
		for k, at := range moments {
			if p.stateAt(float64(at)) == sim.StateRecording {
				ref.recording[k] += w
			}
		}
		for k, v := range p.verdicts {
			ref.verdicts[k][v] += w
		}
		ref.histories[historyOf(p.states[0], p.verdicts)] += w
	}
	for k := range ref.recording {
		ref.recording[k] /= total
	}
	for _, v := range ref.verdicts {
		for k := range v {
			v[k] /= total
		}
	}
	for k := range ref.histories {
		ref.histories[k] /= total
	}
	ref.effective = total * total / squares
	return ref
}

// doubtfulFlight draws a rig and a flight through its chain, with samples some
// way apart, and what somebody saw of a history that was possible.
func doubtfulFlight(rng *rand.Rand) (*sim.Replay, Observations) {
	rig := sim.DefaultRig()
	pick := func(values ...sim.Micros) sim.Micros { return values[rng.IntN(len(values))] }
	c := &rig.Camera
	c.MinPress = sim.Interval{Low: 60 * ms, High: 60*ms + pick(0, 50, 160)*ms}
	c.LongPress = sim.Interval{Low: 700 * ms, High: 700*ms + pick(0, 100, 600)*ms}
	c.StartDelay, c.StopDelay = pick(0, 400, 900)*ms, pick(0, 300, 1500)*ms
	c.ToggleOn = sim.ToggleEdges[rng.IntN(2)]
	c.LongFires = sim.LongMoments[rng.IntN(2)]
	c.LongAction = sim.Actions[rng.IntN(3)]
	c.Start = sim.StartStates[rng.IntN(4)]
	if rng.IntN(2) == 0 {
		c.WakePress, c.Boot = 150*ms, s
	}
	if rng.IntN(3) == 0 {
		c.AutoOff = 2 * s
	}
	rig.Doubt.Ignored = []float64{0.002, 0.05}[rng.IntN(2)]
	rig.Doubt.Misread = []float64{0.0002, 0.05}[rng.IntN(2)]
	rig.Doubt.Sampled = rng.IntN(4) > 0
	if c.ToggleOn == sim.ToggleOnRelease && rng.IntN(3) == 0 {
		c.DoubleWithin, c.DoubleAction = pick(300, 800, 2000)*ms, []sim.Action{sim.ActionNone, sim.ActionPowerOff, sim.ActionUnknown}[rng.IntN(3)]
	}
	step := pick(10, 20, 100) * ms
	var samples []sim.Sample
	at := sim.Micros(0)
	sample := func(until sim.Micros, value sim.PulseWidth) {
		for ; at < until; at += step {
			samples = append(samples, sim.Sample{At: at, Channel: value, Armed: sim.Absent})
		}
	}
	for range 1 + rng.IntN(6) {
		sample(at+sim.Micros(rng.Int64N(int64(4*s)))+200*ms, 1000)
		hold := sim.Micros(40+rng.IntN(200)) * ms
		if rng.IntN(3) == 0 {
			hold = sim.Micros(600+rng.IntN(800)) * ms
		}
		sample(at+hold, 2000)
	}
	if rng.IntN(4) > 0 {
		sample(at+2*s, 1000)
	}
	chain := sim.NewChain(sim.TapChannel, rig)
	chain.FeedAll(samples)
	replay := chain.Finish()
	var seen Observations
	for range rng.IntN(4) {
		seen.Seen = append(seen.Seen, Glance{sim.Micros(rng.Int64N(int64(replay.End + 1))), Lights[rng.IntN(3)]})
	}
	if rng.IntN(2) == 0 {
		drawCard(rng, replay, &seen)
	}
	return replay, seen
}

// drawCard lists the takes of one particle, with errors; now and then one is
// missing, or strange.
func drawCard(rng *rand.Rand, replay *sim.Replay, seen *Observations) {
	seen.Clips, seen.ClipError = []Clip{}, []sim.Micros{50 * ms, 300 * ms}[rng.IntN(2)]
	truth := sim.RunCamera(replay.Rig.Camera, replay.Rig.Camera.Window(), replay.Lanes.Wire, replay.End, nil)
	starts := rng.IntN(2) == 0
	for _, t := range truth.Takes {
		if rng.IntN(5) == 0 {
			seen.Clips = append(seen.Clips, Clip{Length: sim.Micros(rng.Int64N(int64(5 * s)))})
		}
		if rng.IntN(5) > 0 {
			off := sim.Micros(rng.Int64N(int64(seen.ClipError))) - seen.ClipError/2
			seen.Clips = append(seen.Clips, Clip{Length: max(0, t.Length()+off), Start: 1000*s + t.Start + off, HasStart: starts})
		}
	}
}

// TestBeliefEqualsParticles (M11, M12): on random flights the chance of recording
// at each moment, and of each verdict, is that of the particles; with something
// seen, the history that is shown is the one in which most of them agree.
func TestBeliefEqualsParticles(t *testing.T) {
	flights, n := *particleFlights, *particles
	worst, worstSure := 0.0, 0.0
	for i := range flights {
		rng := rand.New(rand.NewPCG(21, uint64(i)))
		replay, seen := doubtfulFlight(rng)
		result, err := Resolve(replay, seen)
		require.NoError(t, err)
		var moments []sim.Micros
		for range 12 {
			moments = append(moments, sim.Micros(rng.Int64N(int64(replay.End))))
		}
		ref := flyParticles(replay, seen, moments, n)
		if ref.effective < 3000 {
			continue
		}
		allowed := 0.005 + 3*0.5/math.Sqrt(ref.effective)
		for k, at := range moments {
			if result.Replay.Belief == nil {
				break
			}
			off := math.Abs(ref.recording[k] - chanceAt(result.Replay.Belief, int(2*at)))
			worst = max(worst, off)
			worstSure = max(worstSure, off-3*math.Sqrt((ref.recording[k]*(1-ref.recording[k])+1/ref.effective)/ref.effective))
			if !(off <= allowed) { // nor may it be no number
				t.Errorf("flight %d at %s: %.4f, particles %.4f (%.0f)  %s", i, at.Clock(), chanceAt(result.Replay.Belief, int(2*at)), ref.recording[k], ref.effective, describe(replay, seen))
				break
			}
		}
		if !seen.None() {
			var shown []sim.Verdict
			for _, p := range result.Replay.Presses {
				shown = append(shown, p.Verdict)
			}
			best := slices.Max(slices.Collect(maps.Values(ref.histories)))
			apart := 0.005 + 3/math.Sqrt(ref.effective) // a difference of two shares scatters by up to 1/√n
			if got := ref.histories[historyOf(result.Replay.States[0].State, shown)]; !(got >= best-apart) {
				t.Errorf("flight %d: the shown history weighs %.4f, the likeliest %.4f  %s", i, got, best, describe(replay, seen))
			}
		}
		for k, p := range result.Replay.Presses {
			if p.Verdict != sim.VerdictUnknown {
				if off := math.Abs(ref.verdicts[k][p.Verdict] - p.Chance); !(off <= allowed) {
					t.Errorf("flight %d press %d: %s %.4f, particles %v  %s", i, k+1, p.Verdict, p.Chance, ref.verdicts[k], describe(replay, seen))
					break
				}
			}
		}
	}
	t.Logf("worst %.4f; beyond three standard deviations of the particles %.4f", worst, worstSure)
}

func describe(r *sim.Replay, seen Observations) string {
	text := fmt.Sprintf("\n%+v\n%+v\n%v", r.Rig.Camera, r.Rig.Doubt, seen)
	for _, p := range r.Presses {
		text += fmt.Sprintf("\n%s %s %s-%s %s", p.Down.Clock(), tell.Held(p), p.DownUnseen, p.UpUnseen, p.Verdict)
	}
	return text
}
