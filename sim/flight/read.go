package flight

import (
	"io"
	"slices"

	"flicktally/sim"
)

// Source is an open log.
type Source interface {
	Tap() sim.Tap
	// Rig returns the rig completed with the log's own description of its
	// columns.
	Rig(sim.Rig) sim.Rig
	Next() (sim.Block, error) // io.EOF at the end
	Reading() sim.Reading
}

// Options says what a pass keeps beside the replay.
type Options struct {
	// TraceBins is the maximum number of bins of the channel's trace; 0 means
	// no trace.
	TraceBins int
	// TraceWithin limits the trace to a part of each segment; the zero value
	// means all of it.
	TraceWithin sim.Span
}

// Read replays every segment of a log. name is for messages. Errors are those
// of the source, and of a log beyond the bounds.
func Read(src Source, name string, rig sim.Rig, opts Options) ([]Flight, error) {
	all, err := ReadWith(src, name, []sim.Rig{rig}, opts)
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// ReadWith is [Read] with several rigs in one pass. It returns the flights of
// each rig, in the order of the rigs. Only the flights of the first have a
// trace.
func ReadWith(src Source, name string, rigs []sim.Rig, opts Options) ([][]Flight, error) {
	p := pass{
		src: src, name: name, opts: opts,
		rigs: make([]sim.Rig, len(rigs)), kept: make([]amount, len(rigs)), flights: make([][]Flight, len(rigs)),
	}
	for i, rig := range slices.Backward(rigs) { // the source describes its reading by the rig asked for last
		p.rigs[i] = src.Rig(rig)
	}
	for {
		block, err := src.Next()
		if err == io.EOF {
			return p.finish(), nil
		}
		if err != nil {
			return nil, err
		}
		if err := p.take(block); err != nil {
			return nil, err
		}
	}
}

// pass feeds a chain for each rig and segment.
type pass struct {
	src     Source
	name    string
	opts    Options
	rigs    []sim.Rig
	segment int          // being fed, from 1; 0 before the first
	chains  []*sim.Chain // of the segment, one for each rig
	trace   *sim.Trace   // of the segment; nil if none is kept
	kept    []amount     // of finished segments, for each rig
	flights [][]Flight   // for each rig
}

// take feeds a block.
func (p *pass) take(block sim.Block) error {
	if block.Segment > p.segment {
		p.endSegment()
		p.beginSegment(block)
	}
	if p.trace != nil {
		p.trace.FeedAll(block.Samples)
	}
	for i, chain := range p.chains {
		chain.FeedBlock(block)
		if err := p.kept[i].with(chain.SoFar()).check(p.name); err != nil {
			return err
		}
	}
	return nil
}

func (p *pass) beginSegment(block sim.Block) {
	p.segment = block.Segment
	p.chains = make([]*sim.Chain, len(p.rigs))
	for i, rig := range p.rigs {
		if block.Start != "" {
			rig.Camera.Start = block.Start
		}
		p.chains[i] = sim.NewChain(p.src.Tap(), rig)
		p.chains[i].FlicksBy(p.rigs[0])
	}
	p.trace = p.newTrace()
}

func (p *pass) newTrace() *sim.Trace {
	bins := traceBinsOf(p.segment, p.opts.TraceBins)
	switch {
	case p.opts.TraceBins == 0:
		return nil
	case p.opts.TraceWithin.Length() > 0:
		return sim.NewTraceWithin(p.src.Tap(), p.rigs[0], p.opts.TraceWithin, bins)
	default:
		return sim.NewTrace(p.src.Tap(), p.rigs[0], bins)
	}
}

func (p *pass) endSegment() {
	if p.segment == 0 {
		return
	}
	for i, chain := range p.chains {
		f := Flight{File: p.name, Segment: p.segment, Replay: chain.Finish()}
		if i == 0 {
			f.Trace = p.trace
		}
		p.kept[i] = p.kept[i].with(f.Replay)
		p.flights[i] = append(p.flights[i], f)
	}
}

// finish ends the pass and fills in what is known only at the end.
func (p *pass) finish() [][]Flight {
	p.endSegment()
	reading := p.src.Reading()
	for _, flights := range p.flights {
		for i := range flights {
			flights[i].Segments, flights[i].Reading = len(flights), reading
		}
	}
	return p.flights
}
