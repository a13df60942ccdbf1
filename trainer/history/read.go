package history

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"time"

	"flicktally/sim"
	"flicktally/trainer"
)

// History is what a journal tells, in the order in which it was written.
type History struct {
	Drills []*Drill
	// Damage lists the lines that could not be read.
	Damage []Damage
	drills map[string]*Drill
}

// Drill is one drill that was done.
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

// longestLine bounds a line; a flick takes about 500 bytes.
const longestLine = 1 << 20

// Read reads a journal. Lines that are damaged are listed, not fatal; an error
// is the reader's.
func Read(r io.Reader) (*History, error) {
	h := &History{drills: map[string]*Drill{}}
	lines := bufio.NewReaderSize(r, 64<<10)
	for n := 1; ; n++ {
		line, whole, err := readLine(lines)
		if errors.Is(err, io.EOF) {
			return h, nil
		}
		if err != nil {
			return nil, err
		}
		if err := h.take(line, whole); err != nil {
			h.Damage = append(h.Damage, Damage{n, err})
		}
	}
}

// readLine returns the next line without its line feed, cut at longestLine, and
// whether it ended in one.
func readLine(r *bufio.Reader) (line []byte, whole bool, err error) {
	for {
		part, err := r.ReadSlice('\n')
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

func (h *History) take(line []byte, whole bool) error {
	r, err := decode(line)
	if err != nil {
		if !whole {
			return fmt.Errorf("found a torn line: %w", err)
		}
		return err
	}
	if r.Type == typeDrill {
		d := &Drill{ID: r.Drill, Context: r.Context, begin: *r.Begin}
		d.Began, d.Kind = r.Begin.At, r.Begin.Kind
		h.Drills = append(h.Drills, d)
		h.drills[r.Drill] = d
		return nil
	}
	d := h.drills[r.Drill]
	if d == nil {
		return fmt.Errorf("found a %s of drill %q, whose beginning is missing", r.Type, r.Drill)
	}
	switch r.Type {
	case typeRun:
		d.Runs = append(d.Runs, trainer.Run(*r.Run))
	case typeFlick:
		d.Flicks = append(d.Flicks, r.Flick.flick())
	case typeTrial:
		d.Results = append(d.Results, trainer.Result(*r.Trial))
	}
	return nil
}

// Only returns the history with some of its drills.
func (h *History) Only(wanted func(*Drill) bool) *History {
	only := &History{Damage: h.Damage}
	for _, d := range h.Drills {
		if wanted(d) {
			only.Drills = append(only.Drills, d)
		}
	}
	return only
}

// ColdAt reports whether a drill that begins at t is the first of its day.
func (h *History) ColdAt(t time.Time) bool {
	day := trainer.Day(t)
	for _, d := range h.Drills {
		if len(d.Flicks) > 0 && trainer.Day(d.Began.In(t.Location())).Equal(day) {
			return false
		}
	}
	return true
}

// Samples returns what the link of each run of the drill delivered, a run after
// the other, at times of the chain. Replayed with the rig, each gives the
// presses that the drill judged by.
func (d *Drill) Samples() [][]sim.Sample {
	const after = sim.Second // for the last release to take effect
	var all [][]sim.Sample
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
		all = append(all, run.Samples(d.begin.rig(), d.begin.Seed, moves, end))
	}
	return all
}
