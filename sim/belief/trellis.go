package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// trellis contains all courses of a flight, or of several flights in turn, except
// practically impossible ones. Nodes are the possible states of the camera, and
// places in the card's list, at the start of a section; edges lead from one
// section to the next.
type trellis struct {
	steps []step
	ways  []way
	log   float64 // logarithm of a factor of all courses
}

// step leads through one section. Edges that exist only for some points of
// long_press are listed by point.
type step struct {
	plan   *flightPlan
	begins bool     // it begins a flight; the fate of an edge is then an index of starts
	at     *section // nil at the end of a flight
	nodes  int      // from which the edges lead
	// cameras are those of the nodes at the end of a flight.
	cameras []sim.Camera
	common  []edge
	byLong  [][]edge
	// steady: the result of the press does not depend on the thresholds, and
	// its chance is in the weights of the edges.
	steady bool
}

// edges returns the edges for a point of long_press.
func (s *step) edges(b int) [2][]edge {
	if s.byLong == nil {
		return [2][]edge{s.common}
	}
	return [2][]edge{s.common, s.byLong[b]}
}

// nodesAfter returns how many nodes a step leads to.
func (t *trellis) nodesAfter(i int) int {
	if i+1 == len(t.steps) {
		return 1
	}
	return t.steps[i+1].nodes
}

// edge is a way through a section. Its weight is the chance of the glances and
// of the list.
type edge struct {
	from, to, way int32
	fate          fate
	weight        float64
}

// way is what the camera does in a section.
type way struct {
	step    int32
	verdict sim.Verdict // of the section's press, if any
	before  int         // the light before it; -1 at the start of a flight
	changes []change
	moves   bool       // some of the changes move with long_press
	takes   int        // how many end
	first   sim.Micros // when the first press of a pair went down, if the section ends a pair
}

// builder makes a trellis step by step.
type builder struct {
	evidence
	from, to int // its points of min_press
	toCome   int // sections that remain: at most that many takes can still end
	trellis  trellis

	cameras []sim.Camera // in which the nodes are
	nodes   []node
	bounds  []float64 // the greatest weight that each node can have, relative to the best
	step    step
	common  []edge // of the step, for all points of long_press
	most    [8]float64
	next    distinct[sim.Camera]
	added   distinct[node]
	reached []float64
	places  []int32
	fates   []fate
	found   [][]passage
	options []option
	record  sim.Record // of one passage
	changes packed[change]
	edges   packed[edge]
}

// node is a camera and a place in the list.
type node struct {
	camera int32
	place  spot
}

// unlikely is the relative weight up to which a node is dropped; mostNodes
// limits the number of nodes. Only long lists of clips reach that limit, and the
// nodes that it drops weigh next to nothing: TestTheWidthIsEnough.
const (
	unlikely  = 1e-12
	mostNodes = 200
)

// buildTrellis makes the trellis for the points [from, to) of min_press.
func buildTrellis(e evidence, from, to int) *trellis {
	b := &builder{evidence: e, from: from, to: to, nodes: []node{{0, newSpot()}}, bounds: []float64{1}, cameras: []sim.Camera{{}}}
	const waysOfPress = 4
	for _, f := range e.plans {
		b.trellis.steps = slices.Grow(b.trellis.steps, len(f.sections)+1)
		b.trellis.ways = slices.Grow(b.trellis.ways, waysOfPress*len(f.sections))
		b.toCome += len(f.sections)
	}
	if b.card != nil {
		b.trellis.log = float64(b.card.surplus(newSpot(), b.toCome)) * math.Log(b.card.foreign)
	}
	for i, f := range e.plans {
		b.begin(f)
		for k := range f.sections[1:] {
			b.pass(f, k+1)
		}
		b.end(f, i == len(e.plans)-1)
	}
	return &b.trellis
}

func (b *builder) open(plan *flightPlan, at *section) {
	b.step = step{plan: plan, at: at, nodes: len(b.nodes)}
	b.common = b.common[:0]
	b.most = *certainly
	b.next.clear()
	b.added.clear()
	b.reached = b.reached[:0]
}

// begin starts a flight in each of the states that it can start in, which are
// equally likely.
func (b *builder) begin(f *flightPlan) {
	b.open(f, &f.sections[0])
	b.step.begins = true
	for i, start := range f.starts {
		spec := f.spec
		spec.Start = start
		b.record.Clear()
		camera := sim.NewCamera(spec, b.window(0), false, &b.record)
		p := b.through(&camera, &f.sections[0], 0)
		p.fate, p.long = fate(i), -1
		p.weight = b.weigh(f.sections[0].seen, &b.trellis.ways[p.way], sim.State(start), 0)
		for from := range b.nodes {
			b.follow(p, from)
		}
	}
	b.close()
	b.toCome--
}

// window returns the thresholds at a point of long_press, in finer steps chosen
// so that a moment shows which of them it moves with; see the package comment.
func (b *builder) window(long int) sim.Window {
	w := sim.Window{MinPress: sim.Micros(b.least[b.from].at) * finer, LongPress: sim.Micros(b.longs[long].at) * finer}
	c := b.plans[0].replay.Rig.Camera
	if !c.MinPress.Exact() {
		w.MinPress++
	}
	if !c.LongPress.Exact() {
		w.LongPress += finer / 2
	}
	return w
}

// end ends a flight. Only the place in the list carries over to the next.
func (b *builder) end(f *flightPlan, last bool) {
	b.open(f, nil)
	for i, n := range b.nodes {
		b.step.cameras = append(b.step.cameras, b.cameras[n.camera])
		place, weight := newSpot(), 1.0
		if b.card != nil {
			place.next, place.free = n.place.next, n.place.free || b.cameras[n.camera].State() == sim.StateUnknown
			weight = b.card.foreigners(b.card.surplus(place, b.toCome) - b.card.surplus(n.place, b.toCome))
		}
		if last {
			place = newSpot()
		}
		b.add(edge{from: int32(i), way: -1, weight: weight}, node{0, place}, -1)
	}
	b.next.place(&sim.Camera{})
	b.close()
}

// pass goes through the section of a press in every remaining way.
func (b *builder) pass(f *flightPlan, i int) {
	s := &f.sections[i]
	b.open(f, s)
	b.most = s.most(b.from, b.to, b.doubt.Ignored)
	for len(b.found) < len(b.cameras) {
		b.found = append(b.found, nil)
	}
	for i := range b.cameras {
		b.found[i] = b.passages(b.found[i][:0], &b.cameras[i], f, s)
	}
	for i := range b.nodes {
		for _, p := range b.found[b.nodes[i].camera] {
			b.follow(p, i)
		}
	}
	b.close()
	b.toCome--
}

// fatesIn returns the possible fates of a press of a camera.
func (b *builder) fatesIn(f *flightPlan, state sim.State) []fate {
	b.fates = append(b.fates[:0], plain)
	switch {
	case state.Accepts():
		b.fates = append(b.fates[:0], short, toggles, long, ignored)
	case state == sim.StateOff && f.spec.WakePress != sim.Never:
		b.fates = append(b.fates[:0], wakes, staysOff)
	}
	return slices.DeleteFunc(b.fates, func(x fate) bool { return b.most[x] == 0 })
}

// follow adds a passage from a node, in all its ways through the list. The weight
// of a clip without a take is applied once no take can be left for it, not when
// the clip is skipped. Otherwise many older clips at the front of the list would
// all count at once against the first take that has a clip.
func (b *builder) follow(p passage, from int) {
	e := edge{from: int32(from), way: p.way, fate: p.fate, weight: p.weight}
	if b.card == nil {
		b.add(e, node{p.to, newSpot()}, p.long)
		return
	}
	before := b.card.surplus(b.nodes[from].place, b.toCome)
	for _, o := range b.list(p, b.nodes[from].place) {
		listed := e
		listed.weight *= o.weight * b.card.foreigners(o.skipped+b.card.surplus(o.place, b.toCome-1)-before)
		b.add(listed, node{p.to, o.place}, p.long)
	}
}

// list follows the takes of a passage through the list.
func (b *builder) list(p passage, at spot) []option {
	b.options = append(b.options[:0], option{at, 1, 0})
	for _, t := range p.ended {
		began := t.Start
		if began == 0 {
			began = at.began
		}
		open := t.Ended == sim.EndLog || t.Ended == sim.EndUnknown
		if t.End <= began {
			continue
		}
		var on []option
		for _, o := range b.options {
			n := len(on)
			on = b.card.take(o.place, began, t.End, open, b.toCome, on)
			for k := n; k < len(on); k++ {
				on[k].weight *= o.weight
				on[k].skipped += o.skipped
			}
		}
		b.options = on
	}
	for i := range b.options {
		o := &b.options[i].place
		switch {
		case !p.recording:
			o.began, o.fromStart = 0, false
		case p.began > 0:
			o.began, o.fromStart = p.began, false
		case b.step.begins:
			o.began, o.fromStart = 0, true
		}
	}
	return b.options
}

// add adds an edge that leads to a node, for one point of long_press or, with -1,
// for all.
func (b *builder) add(e edge, to node, long int) {
	at, added := b.added.place(&to)
	if added {
		b.reached = append(b.reached, 0)
	}
	e.to = at
	chance := 1.0
	if !b.step.begins {
		chance = b.most[e.fate]
	}
	b.reached[at] = max(b.reached[at], b.bounds[e.from]*chance*e.weight)
	if long < 0 {
		b.common = append(b.common, e)
		return
	}
	if b.step.byLong == nil {
		b.step.byLong = make([][]edge, len(b.longs))
	}
	b.step.byLong[long] = append(b.step.byLong[long], e)
}

// close drops practically impossible nodes and moves on to the next section.
func (b *builder) close() {
	best := slices.Max(b.reached)
	least := best * unlikely
	if most := cmp.Or(b.widest, mostNodes); len(b.reached) > most {
		sorted := slices.Clone(b.reached)
		slices.Sort(sorted)
		least = max(least, sorted[len(sorted)-most])
	}
	places := slices.Grow(b.places[:0], len(b.added.all))[:len(b.added.all)]
	b.places, b.nodes, b.bounds = places, b.nodes[:0], b.bounds[:0]
	for i, n := range b.added.all {
		places[i] = -1
		if b.reached[i] >= least && b.reached[i] > 0 {
			places[i] = int32(len(b.nodes))
			b.nodes, b.bounds = append(b.nodes, n), append(b.bounds, b.reached[i]/best)
		}
	}
	keep := func(edges []edge) []edge {
		edges = slices.DeleteFunc(edges, func(e edge) bool { return places[e.to] < 0 || e.weight == 0 })
		for i := range edges {
			edges[i].to = places[edges[i].to]
			if b.step.steady && !b.step.begins {
				edges[i].weight *= b.most[edges[i].fate]
			}
		}
		return b.edges.keep(edges)
	}
	b.step.steady = b.step.begins || b.step.at == nil || !b.step.at.leastMatters && !b.step.at.longMatters
	b.step.common = keep(b.common)
	for i := range b.step.byLong {
		b.step.byLong[i] = keep(b.step.byLong[i])
	}
	b.cameras, b.next.all = b.next.all, b.cameras
	b.trellis.steps = append(b.trellis.steps, b.step)
}
