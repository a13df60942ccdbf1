package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// trellis contains all histories of a flight, or of several flights in turn, except
// practically impossible ones. Nodes are the possible states of the camera, and
// places in the card's list, at the start of a section; edges lead from one
// section to the next.
type trellis struct {
	stages     []stage
	behaviours []behaviour
	logFactor  float64 // logarithm of a factor of all histories
}

// stage leads through one section. Edges that exist only for some points of
// long_press are listed by point.
type stage struct {
	flight       *sectionedFlight
	startsFlight bool     // it begins a flight; the outcome of an edge is then an index of starts
	section      *section // nil at the end of a flight
	nodes        int      // from which the edges lead
	// cameras are those of the nodes at the end of a flight.
	cameras []sim.Camera
	common  []branch
	byLong  [][]branch
	// steady: the result of the press does not depend on the thresholds, and
	// its chance is in the weights of the edges.
	fixed bool
}

// branches returns the edges for a point of long_press.
func (s *stage) branches(b int) [2][]branch {
	if s.byLong == nil {
		return [2][]branch{s.common}
	}
	return [2][]branch{s.common, s.byLong[b]}
}

// nodesAfter returns how many nodes a step leads to.
func (t *trellis) nodesAfter(i int) int {
	if i+1 == len(t.stages) {
		return 1
	}
	return t.stages[i+1].nodes
}

// branch is a way through a section. Its weight is the chance of the glances and
// of the list.
type branch struct {
	from, to, behaviour int32
	outcome             outcome
	weight              float64
}

// behaviour is what the camera does in a section.
type behaviour struct {
	stage       int32
	verdict     sim.Verdict // of the section's press, if any
	lightBefore int         // the light before it; -1 at the start of a flight
	changes     []change
	moves       bool       // some of the changes move with long_press
	takesEnded  int        // how many end
	pairStart   sim.Micros // when the first press of a pair went down, if the section ends a pair
}

// builder makes a trellis step by step.
type builder struct {
	model
	from, to  int // its points of min_press
	takesLeft int // sections that remain: at most that many takes can still end
	trellis   trellis

	cameras       []sim.Camera // in which the nodes are
	nodes         []node
	bounds        []float64 // the greatest weight that each node can have, relative to the best
	step          stage
	common        []branch // of the step, for all points of long_press
	maxChances    [8]float64
	next          distinct[sim.Camera]
	added         distinct[node]
	nextBounds    []float64
	places        []int32
	outcomes      []outcome
	transitions   [][]transition
	continuations []continuation
	record        sim.Record // of one transition
	changes       arena[change]
	branches      arena[branch]
}

// node is a camera and a place in the list.
type node struct {
	camera int32
	list   listState
}

// pruneBelow is the relative weight up to which a node is dropped; mostNodes
// limits the number of nodes. Only long lists of clips reach that limit, and the
// nodes that it drops weigh next to nothing: TestTheWidthIsEnough.
const (
	pruneBelow       = 1e-12
	defaultBeamWidth = 200
)

// buildTrellis makes the trellis for the points [from, to) of min_press.
func buildTrellis(e model, from, to int) *trellis {
	b := &builder{model: e, from: from, to: to, nodes: []node{{0, newListState()}}, bounds: []float64{1}, cameras: []sim.Camera{{}}}
	const waysOfPress = 4
	for _, f := range e.flights {
		b.trellis.stages = slices.Grow(b.trellis.stages, len(f.sections)+1)
		b.trellis.behaviours = slices.Grow(b.trellis.behaviours, waysOfPress*len(f.sections))
		b.takesLeft += len(f.sections)
	}
	if b.card != nil {
		b.trellis.logFactor = float64(b.card.surplus(newListState(), b.takesLeft)) * math.Log(b.card.foreign)
	}
	for i, f := range e.flights {
		b.startFlight(f)
		for k := range f.sections[1:] {
			b.addPress(f, k+1)
		}
		b.endFlight(f, i == len(e.flights)-1)
	}
	return &b.trellis
}

func (b *builder) startStage(flight *sectionedFlight, at *section) {
	b.step = stage{flight: flight, section: at, nodes: len(b.nodes)}
	b.common = b.common[:0]
	b.maxChances = *allCertain
	b.next.clear()
	b.added.clear()
	b.nextBounds = b.nextBounds[:0]
}

// startFlight starts a flight in each of the states that it can start in, which are
// equally likely.
func (b *builder) startFlight(f *sectionedFlight) {
	b.startStage(f, &f.sections[0])
	b.step.startsFlight = true
	for i, start := range f.starts {
		spec := f.spec
		spec.Start = start
		b.record.Clear()
		camera := sim.NewCamera(spec, b.window(0), false, &b.record)
		p := b.runThrough(&camera, &f.sections[0], 0)
		p.outcome, p.long = outcome(i), -1
		p.weight = b.weigh(f.sections[0].seen, &b.trellis.behaviours[p.behaviour], sim.State(start), 0)
		for from := range b.nodes {
			b.addTransition(p, from)
		}
	}
	b.finishStage()
	b.takesLeft--
}

// window returns the thresholds at a point of long_press, in finer steps chosen
// so that a moment shows which of them it moves with; see the package comment.
func (b *builder) window(long int) sim.Window {
	w := sim.Window{MinPress: sim.Micros(b.mins[b.from].at) * finer, LongPress: sim.Micros(b.longs[long].at) * finer}
	c := b.flights[0].replay.Rig.Camera
	if !c.MinPress.Exact() {
		w.MinPress++
	}
	if !c.LongPress.Exact() {
		w.LongPress += finer / 2
	}
	return w
}

// endFlight ends a flight. Only the place in the list carries over to the next.
func (b *builder) endFlight(f *sectionedFlight, last bool) {
	b.startStage(f, nil)
	for i, n := range b.nodes {
		b.step.cameras = append(b.step.cameras, b.cameras[n.camera])
		place, weight := newListState(), 1.0
		if b.card != nil {
			place.next, place.free = n.list.next, n.list.free || b.cameras[n.camera].State() == sim.StateUnknown
			weight = b.card.foreigners(b.card.surplus(place, b.takesLeft) - b.card.surplus(n.list, b.takesLeft))
		}
		if last {
			place = newListState()
		}
		b.addBranch(branch{from: int32(i), behaviour: -1, weight: weight}, node{0, place}, -1)
	}
	b.next.index(&sim.Camera{})
	b.finishStage()
}

// addPress goes through the section of a press in every remaining way.
func (b *builder) addPress(f *sectionedFlight, i int) {
	s := &f.sections[i]
	b.startStage(f, s)
	b.maxChances = s.maxChances(b.from, b.to, b.doubt.Ignored)
	for len(b.transitions) < len(b.cameras) {
		b.transitions = append(b.transitions, nil)
	}
	for i := range b.cameras {
		b.transitions[i] = b.transitionsFrom(b.transitions[i][:0], &b.cameras[i], f, s)
	}
	for i := range b.nodes {
		for _, p := range b.transitions[b.nodes[i].camera] {
			b.addTransition(p, i)
		}
	}
	b.finishStage()
	b.takesLeft--
}

// outcomesIn returns the possible outcomes of a press of a camera.
func (b *builder) outcomesIn(f *sectionedFlight, state sim.State) []outcome {
	b.outcomes = append(b.outcomes[:0], predetermined)
	switch {
	case state.Accepts():
		b.outcomes = append(b.outcomes[:0], short, toggles, long, ignored)
	case state == sim.StateOff && f.spec.WakePress != sim.Never:
		b.outcomes = append(b.outcomes[:0], wakes, staysOff)
	}
	return slices.DeleteFunc(b.outcomes, func(x outcome) bool { return b.maxChances[x] == 0 })
}

// addTransition adds a transition from a node, in all its ways through the list. The weight
// of a clip without a take is applied once no take can be left for it, not when
// the clip is skipped. Otherwise many older clips at the front of the list would
// all count at once against the first take that has a clip.
func (b *builder) addTransition(p transition, from int) {
	e := branch{from: int32(from), behaviour: p.behaviour, outcome: p.outcome, weight: p.weight}
	if b.card == nil {
		b.addBranch(e, node{p.to, newListState()}, p.long)
		return
	}
	before := b.card.surplus(b.nodes[from].list, b.takesLeft)
	for _, o := range b.matchTakes(p, b.nodes[from].list) {
		listed := e
		listed.weight *= o.weight * b.card.foreigners(o.skipped+b.card.surplus(o.state, b.takesLeft-1)-before)
		b.addBranch(listed, node{p.to, o.state}, p.long)
	}
}

// matchTakes follows the takes of a transition through the list.
func (b *builder) matchTakes(p transition, at listState) []continuation {
	b.continuations = append(b.continuations[:0], continuation{at, 1, 0})
	for _, t := range p.takes {
		began := t.Start
		if began == 0 {
			began = at.began
		}
		open := t.Ended == sim.EndLog || t.Ended == sim.EndUnknown
		if t.End <= began {
			continue
		}
		var on []continuation
		for _, o := range b.continuations {
			n := len(on)
			on = b.card.take(o.state, began, t.End, open, b.takesLeft, on)
			for k := n; k < len(on); k++ {
				on[k].weight *= o.weight
				on[k].skipped += o.skipped
			}
		}
		b.continuations = on
	}
	for i := range b.continuations {
		o := &b.continuations[i].state
		switch {
		case !p.recording:
			o.began, o.fromStart = 0, false
		case p.began > 0:
			o.began, o.fromStart = p.began, false
		case b.step.startsFlight:
			o.began, o.fromStart = 0, true
		}
	}
	return b.continuations
}

// addBranch adds an edge that leads to a node, for one point of long_press or, with -1,
// for all.
func (b *builder) addBranch(e branch, to node, long int) {
	at, added := b.added.index(&to)
	if added {
		b.nextBounds = append(b.nextBounds, 0)
	}
	e.to = at
	chance := 1.0
	if !b.step.startsFlight {
		chance = b.maxChances[e.outcome]
	}
	b.nextBounds[at] = max(b.nextBounds[at], b.bounds[e.from]*chance*e.weight)
	if long < 0 {
		b.common = append(b.common, e)
		return
	}
	if b.step.byLong == nil {
		b.step.byLong = make([][]branch, len(b.longs))
	}
	b.step.byLong[long] = append(b.step.byLong[long], e)
}

// finishStage drops practically impossible nodes and moves on to the next section.
func (b *builder) finishStage() {
	best := slices.Max(b.nextBounds)
	least := best * pruneBelow
	if most := cmp.Or(b.beamWidth, defaultBeamWidth); len(b.nextBounds) > most {
		sorted := slices.Clone(b.nextBounds)
		slices.Sort(sorted)
		least = max(least, sorted[len(sorted)-most])
	}
	places := slices.Grow(b.places[:0], len(b.added.all))[:len(b.added.all)]
	b.places, b.nodes, b.bounds = places, b.nodes[:0], b.bounds[:0]
	for i, n := range b.added.all {
		places[i] = -1
		if b.nextBounds[i] >= least && b.nextBounds[i] > 0 {
			places[i] = int32(len(b.nodes))
			b.nodes, b.bounds = append(b.nodes, n), append(b.bounds, b.nextBounds[i]/best)
		}
	}
	keep := func(edges []branch) []branch {
		edges = slices.DeleteFunc(edges, func(e branch) bool { return places[e.to] < 0 || e.weight == 0 })
		for i := range edges {
			edges[i].to = places[edges[i].to]
			if b.step.fixed && !b.step.startsFlight {
				edges[i].weight *= b.maxChances[edges[i].outcome]
			}
		}
		return b.branches.clone(edges)
	}
	b.step.fixed = b.step.startsFlight || b.step.section == nil || !b.step.section.minMatters && !b.step.section.longMatters
	b.step.common = keep(b.common)
	for i := range b.step.byLong {
		b.step.byLong[i] = keep(b.step.byLong[i])
	}
	b.cameras, b.next.all = b.next.all, b.cameras
	b.trellis.stages = append(b.trellis.stages, b.step)
}
