package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// trellis contains all histories of one flight, or of several in turn, except
// practically impossible ones. Each stage covers one section. Its nodes
// are the possible hidden states when the section starts: a camera and a place
// in the card's list. Its branches lead to the nodes of the next stage.
type trellis struct {
	from, to   int // the grid points of min_press that it is valid for
	stages     []stage
	behaviours []behaviour
	logFactor  float64 // logarithm of a factor of all histories
}

// stage covers one section, or the end of a flight. Branches that exist only for
// some grid points of long_press are listed by point.
type stage struct {
	flight  int      // index
	press   int      // the number of the section's press in the flight; 0 if there is none
	section *section // nil at the end of a flight
	nodes   int      // from which the branches lead
	common  []branch
	byLong  [][]branch
}

// startsFlight reports whether the stage starts a flight. The outcome of its
// branches is then an index of the flight's starts.
func (s *stage) startsFlight() bool { return s.section != nil && s.press == 0 }

// branches returns the branches for a point of long_press.
func (s *stage) branches(b int) [2][]branch {
	if s.byLong == nil {
		return [2][]branch{s.common}
	}
	return [2][]branch{s.common, s.byLong[b]}
}

// chances returns the chance of each outcome for thresholds at two grid points.
func (s *stage) chances(a, b int) *[8]float64 {
	if s.press == 0 {
		return allCertain
	}
	return s.section.chances(a, b)
}

// allCertain gives every outcome the chance 1.
var allCertain = &[8]float64{1, 1, 1, 1, 1, 1, 1, 1}

// nodesAfter returns how many nodes a stage leads to.
func (t *trellis) nodesAfter(i int) int {
	if i+1 == len(t.stages) {
		return 1
	}
	return t.stages[i+1].nodes
}

// branch leads from a node to one of the next stage. Its weight is the
// likelihood of the glances and of the list; the chance of the outcome is not
// part of it, as that depends on the thresholds.
type branch struct {
	from, to, behaviour int32
	outcome             outcome
	weight              float64
}

// behaviour is what the camera does in a section, or how it leaves a flight.
type behaviour struct {
	stage       int32
	outcome     outcome
	verdict     sim.Verdict // of the section's press, if any
	lightBefore int         // -1 at the start of a flight
	changes     []change
	moves       bool        // some of the changes move with long_press
	takesEnded  int         // how many
	pairStart   sim.Micros  // when the first press of a pair went down, if the section ends a pair
	end         *sim.Camera // at the end of a flight
}

// builder builds a trellis stage by stage.
type builder struct {
	model
	trellis   trellis
	takesLeft int // how many takes can still end: at most one per remaining section

	// The nodes from which the stage starts. A bound is the greatest weight that a
	// node can have at any thresholds, relative to the best.
	cameras []sim.Camera
	nodes   []node
	bounds  []float64

	// The stage that is being built, and the nodes that it leads to.
	stage       stage
	common      []branch
	maxChances  [8]float64 // of the outcomes, at any thresholds
	nextCameras distinct[sim.Camera]
	nextNodes   distinct[node]
	nextBounds  []float64

	record sim.Record // of one run through a section
}

// node is a hidden state: a camera and a place in the card's list.
type node struct {
	camera int32
	list   listState
}

// distinct is a list of values that all differ.
type distinct[T comparable] struct {
	all []T
	at  map[T]int32 // of those after the first few, which are compared one by one
}

// comparedByOne is how many values are found sooner one by one than by a map:
// a camera takes long to hash.
const comparedByOne = 8

// index returns where a value is in the list, to which it adds a new one.
func (d *distinct[T]) index(v *T) int32 {
	few := min(len(d.all), comparedByOne)
	for i := range d.all[:few] {
		if d.all[i] == *v {
			return int32(i)
		}
	}
	n := int32(len(d.all))
	if few == comparedByOne {
		if at, known := d.at[*v]; known {
			return at
		}
		if d.at == nil {
			d.at = map[T]int32{}
		}
		d.at[*v] = n
	}
	d.all = append(d.all, *v)
	return n
}

func (d *distinct[T]) clear() {
	d.all = d.all[:0]
	clear(d.at)
}

// A node is dropped if its bound is less than pruneBelow of the best, or if
// defaultBeamWidth others are better. Only long lists of clips reach that width,
// and the nodes that it drops weigh next to nothing: TestTheWidthIsEnough.
const (
	pruneBelow       = 1e-12
	defaultBeamWidth = 200
)

// buildTrellis builds the trellis for the grid points [from, to) of min_press.
func buildTrellis(m model, from, to int) *trellis {
	b := &builder{
		model: m, trellis: trellis{from: from, to: to},
		nodes: []node{{0, newListState()}}, bounds: []float64{1}, cameras: []sim.Camera{{}},
	}
	for _, f := range m.flights {
		b.takesLeft += len(f.sections)
	}
	if b.card != nil {
		b.trellis.logFactor = float64(b.card.surplus(newListState(), b.takesLeft)) * math.Log(b.card.foreign)
	}
	for i, f := range m.flights {
		b.startFlight(i, f)
		for k := range f.sections[1:] {
			b.addPress(i, f, k+1)
		}
		b.endFlight(i)
	}
	return &b.trellis
}

func (b *builder) startStage(flight, press int, at *section) {
	b.stage = stage{flight: flight, press: press, section: at, nodes: len(b.nodes)}
	b.common = b.common[:0]
	b.maxChances = *allCertain
	b.nextCameras.clear()
	b.nextNodes.clear()
	b.nextBounds = b.nextBounds[:0]
}

// startFlight starts a flight in each of the states in which it can start, which
// are equally likely.
func (b *builder) startFlight(i int, f *sectionedFlight) {
	b.startStage(i, 0, &f.sections[0])
	for k, start := range f.starts {
		spec := f.spec
		spec.Start = start
		b.record.Clear()
		camera := sim.NewCamera(spec, b.window(0), false, &b.record)
		t := b.runThrough(&camera, &f.sections[0], 0)
		made := &b.trellis.behaviours[t.behaviour]
		made.outcome, made.lightBefore = outcome(k), -1
		t.outcome, t.long = outcome(k), -1
		t.weight = b.weighGlances(f.sections[0].seen, made, sim.State(start), 0)
		for from := range b.nodes {
			b.addTransition(t, from)
		}
	}
	b.finishStage()
	b.takesLeft--
}

// window returns the thresholds at a grid point of long_press, in finer steps.
func (b *builder) window(long int) sim.Window {
	c := b.flights[0].replay.Rig.Camera
	return finerWindow(c, sim.Micros(b.mins[b.trellis.from].at), sim.Micros(b.longs[long].at))
}

// endFlight ends a flight. Only the place in the list carries over to the next.
func (b *builder) endFlight(i int) {
	b.startStage(i, 0, nil)
	b.nextCameras.index(&sim.Camera{})
	for k, n := range b.nodes {
		camera, list, weight := b.cameras[n.camera], newListState(), 1.0
		if b.card != nil {
			list.next, list.free = n.list.next, n.list.free || camera.State() == sim.StateUnknown
			weight = b.card.foreigners(b.card.surplus(list, b.takesLeft) - b.card.surplus(n.list, b.takesLeft))
		}
		if i == len(b.flights)-1 {
			list = newListState()
		}
		b.addBranch(branch{from: int32(k), behaviour: b.addBehaviour(behaviour{end: &camera}), weight: weight}, node{0, list}, -1)
	}
	b.finishStage()
}

func (b *builder) addBehaviour(added behaviour) int32 {
	added.stage = int32(len(b.trellis.stages))
	b.trellis.behaviours = append(b.trellis.behaviours, added)
	return int32(len(b.trellis.behaviours) - 1)
}

// addPress adds the stage of a press, with every possible outcome.
func (b *builder) addPress(flight int, f *sectionedFlight, press int) {
	s := &f.sections[press]
	b.startStage(flight, press, s)
	b.maxChances = s.maxChances(b.trellis.from, b.trellis.to)
	transitions := make([][]transition, len(b.cameras))
	for i := range b.cameras {
		transitions[i] = b.transitionsFrom(&b.cameras[i], f, s)
	}
	for i, n := range b.nodes {
		for _, t := range transitions[n.camera] {
			b.addTransition(t, i)
		}
	}
	b.finishStage()
	b.takesLeft--
}

// addTransition adds the branches of a transition from a node, one for each way
// to match its takes with the list. The weight of a clip without a take is
// applied once no take can be left for it, not when the clip is skipped.
// Otherwise many older clips at the front of the list would all count at once
// against the first take that has a clip.
func (b *builder) addTransition(t transition, from int) {
	x := branch{from: int32(from), behaviour: t.behaviour, outcome: t.outcome, weight: t.weight}
	if b.card == nil {
		b.addBranch(x, node{t.to, newListState()}, t.long)
		return
	}
	before := b.card.surplus(b.nodes[from].list, b.takesLeft)
	for _, c := range b.matchTakes(t, b.nodes[from].list) {
		x.weight = t.weight * c.weight * b.card.foreigners(c.skipped+b.card.surplus(c.state, b.takesLeft-1)-before)
		b.addBranch(x, node{t.to, c.state}, t.long)
	}
}

// addBranch adds a branch that leads to a node, for one grid point of long_press
// or, with -1, for all.
func (b *builder) addBranch(x branch, to node, long int) {
	x.to = b.nextNodes.index(&to)
	if int(x.to) == len(b.nextBounds) {
		b.nextBounds = append(b.nextBounds, 0)
	}
	chance := 1.0
	if !b.stage.startsFlight() {
		chance = b.maxChances[x.outcome]
	}
	b.nextBounds[x.to] = max(b.nextBounds[x.to], b.bounds[x.from]*chance*x.weight)
	if long < 0 {
		b.common = append(b.common, x)
		return
	}
	if b.stage.byLong == nil {
		b.stage.byLong = make([][]branch, len(b.longs))
	}
	b.stage.byLong[long] = append(b.stage.byLong[long], x)
}

// finishStage drops practically impossible nodes and moves on to the next stage.
func (b *builder) finishStage() {
	best := slices.Max(b.nextBounds)
	least := best * pruneBelow
	if width := cmp.Or(b.beamWidth, defaultBeamWidth); len(b.nextBounds) > width {
		sorted := slices.Sorted(slices.Values(b.nextBounds))
		least = max(least, sorted[len(sorted)-width])
	}
	kept := make([]int32, len(b.nextBounds)) // the new index of each node; -1 if it is dropped
	b.nodes, b.bounds = b.nodes[:0], b.bounds[:0]
	for i, bound := range b.nextBounds {
		kept[i] = -1
		if bound >= least && bound > 0 {
			kept[i] = int32(len(b.nodes))
			b.nodes, b.bounds = append(b.nodes, b.nextNodes.all[i]), append(b.bounds, bound/best)
		}
	}
	prune := func(branches []branch) []branch {
		branches = slices.DeleteFunc(branches, func(x branch) bool { return kept[x.to] < 0 || x.weight == 0 })
		for i := range branches {
			branches[i].to = kept[branches[i].to]
		}
		return branches
	}
	b.stage.common = slices.Clone(prune(b.common))
	for i := range b.stage.byLong {
		b.stage.byLong[i] = prune(b.stage.byLong[i])
	}
	b.cameras, b.nextCameras.all = b.nextCameras.all, b.cameras
	b.trellis.stages = append(b.trellis.stages, b.stage)
}
