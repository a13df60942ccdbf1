package history

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/trainer"
)

// History is the contents of a journal, in the order in which they were written.
type History struct {
	Drills []*Drill
	// Damage lists the first lines that could not be read, Damaged counts them all.
	Damage  []Damage
	Damaged int
	drills  map[string]*Drill
	quick   quickReader
	latest  gathered
}

// gathered collects lines of one drill until one of another drill follows, and then
// adds them to the drill, so that each drill takes only the memory it needs.
type gathered struct {
	drill   *Drill
	flicks  []trainer.Flick
	results []trainer.Result
}

func (g *gathered) turnTo(d *Drill) {
	if g.drill == d {
		return
	}
	if g.drill != nil {
		g.drill.Flicks = append(g.drill.Flicks, g.flicks...)
		g.drill.Results = append(g.drill.Results, g.results...)
	}
	g.drill, g.flicks, g.results = d, g.flicks[:0], g.results[:0]
}

// Drill is a drill in the journal.
type Drill struct {
	ID string
	Context
	trainer.Practised
	Runs  []trainer.Run
	begin drillPart
}

// Damage is a line that could not be read, and why.
type Damage struct {
	Line   int // from 1
	Reason error
}

// Error writes "line 12: found …".
func (d Damage) Error() string { return fmt.Sprintf("line %d: %v", d.Line, d.Reason) }

// mostDamage is how many damaged lines are listed.
const mostDamage = 100

// longestLine limits a line; a flick takes about 500 bytes.
const longestLine = 1 << 20

// readJournal reads a journal. It lists damaged lines and continues; an error is one
// of the reader. It takes 1 MiB in addition to the history, which is smaller than the
// lines.
func readJournal(r io.Reader) (*History, error) {
	h := newHistory()
	if err := h.readLines(r, 0, false); err != nil {
		return nil, err
	}
	return h, nil
}

func newHistory() *History {
	return &History{drills: map[string]*Drill{}, quick: quickReader{texts: map[string]string{}}}
}

// readLines reads the lines that follow a number of others. For a brief history it
// keeps only what a summary has.
func (h *History) readLines(r io.Reader, before int, brief bool) error {
	lines := bufio.NewReaderSize(r, 64<<10)
	for n := before + 1; ; n++ {
		line, whole, err := readLine(lines)
		if errors.Is(err, io.EOF) {
			h.latest.turnTo(nil)
			return nil
		}
		if err != nil {
			return err
		}
		if err := h.take(line, whole, brief); err != nil {
			h.note(Damage{n, err})
		}
	}
}

func (h *History) note(d Damage) {
	h.Damaged++
	if len(h.Damage) < mostDamage {
		h.Damage = append(h.Damage, d)
	}
}

// readLine returns the next line without its line feed, cut at longestLine, and
// whether it ended in one. The line is valid until the next is read.
func readLine(r *bufio.Reader) (line []byte, whole bool, err error) {
	for {
		part, err := r.ReadSlice('\n')
		if err == nil && line == nil {
			return part[:len(part)-1], true, nil
		}
		if room := longestLine - len(line); room > 0 {
			line = append(line, part[:min(len(part), room)]...)
		}
		switch {
		case err == nil:
			return line[:max(0, len(line)-1)], true, nil
		case errors.Is(err, bufio.ErrBufferFull):
		case errors.Is(err, io.EOF) && len(line) > 0:
			return line, false, nil
		default:
			return nil, false, err
		}
	}
}

func (h *History) take(line []byte, whole, brief bool) error {
	r, err := h.decode(line, brief)
	if err != nil {
		if !whole {
			return fmt.Errorf("found a torn line: %w", err)
		}
		return err
	}
	if r.Type == typeDrill {
		d := &Drill{ID: r.Drill, Context: r.Context}
		d.Began, d.Kind = r.Begin.At.UTC(), r.Begin.Kind
		if !brief {
			d.begin = *r.Begin
		}
		h.Drills = append(h.Drills, d)
		h.drills[r.Drill] = d
		return nil
	}
	d := h.drills[r.Drill]
	if d == nil {
		return fmt.Errorf("found a %s of drill %s, whose start is missing", r.Type, excerpt.Quote(r.Drill))
	}
	h.latest.turnTo(d)
	switch r.Type {
	case typeRun:
		if brief {
			break
		}
		d.Runs = append(d.Runs, trainer.Run(*r.Run))
	case typeFlick:
		h.latest.flicks = append(h.latest.flicks, r.Flick.flick())
	case typeTrial:
		h.latest.results = append(h.latest.results, r.Trial.result())
	}
	return nil
}

// decode reads a line, for a brief history without what a summary lacks.
func (h *History) decode(line []byte, brief bool) (record, error) {
	if !brief {
		return decode(line)
	}
	if r, ok := h.quick.read(line); ok {
		return r, nil
	}
	r, err := decode(line)
	r.brief()
	return r, err
}

// Only returns the history with some of its drills.
func (h *History) Only(wanted func(*Drill) bool) *History {
	only := &History{Damage: h.Damage, Damaged: h.Damaged}
	for _, d := range h.Drills {
		if wanted(d) {
			only.Drills = append(only.Drills, d)
		}
	}
	return only
}

// ColdAt reports whether a drill that starts at t is the first of its day.
func (h *History) ColdAt(t time.Time) bool {
	day := trainer.Day(t)
	for _, d := range h.Drills {
		if len(d.Flicks) > 0 && trainer.Day(d.Began.In(t.Location())).Equal(day) {
			return false
		}
	}
	return true
}

// mostFrames limits the samples of a drill, to eleven hours with 250 frames a second.
const mostFrames = 10_000_000

// Log returns the samples that the link delivered in the drill, one segment for each
// run with a move. A replay of a segment with the rig, from the segment's start state,
// gives the presses that the drill judged. A drill of more than ten million frames is
// an error.
func (d *Drill) Log() ([]sim.Block, error) {
	const after = sim.Second // until the last release takes effect
	var all []sim.Block
	rig := d.begin.rig()
	frame, frames := cmp.Or(rig.Link.Frame, rig.SignalLoss.StaleAfter), sim.Micros(0)
	for i, run := range d.Runs {
		var moves []trainer.Move
		for _, f := range d.Flicks {
			if f.Run == run.N {
				moves = append(moves, f.Moves...)
			}
		}
		if len(moves) == 0 {
			continue
		}
		end := moves[len(moves)-1].At + after
		if i+1 < len(d.Runs) {
			end = min(end, d.Runs[i+1].From)
		}
		latest := slices.MaxFunc(moves, func(a, b trainer.Move) int { return cmp.Compare(a.At, b.At) }).At
		if frames += max(0, max(latest, end)-run.From) / frame; frames > mostFrames {
			return nil, fmt.Errorf("found more than %d frames in drill %s, want a shorter drill", mostFrames, excerpt.Quote(d.ID))
		}
		all = append(all, sim.Block{Segment: len(all) + 1, Start: run.Start, Samples: run.Samples(rig, d.begin.Seed, moves, end)})
	}
	return all, nil
}
