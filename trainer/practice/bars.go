package practice

import (
	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// drawTimeline draws the required presses above those made, both timed from the
// first press. It fills as time passes.
func drawTimeline(c *term.Canvas, t *trainer.Timeline) {
	const labels = 8
	bar := c.Area(labels, 0, c.Width-labels, 2)
	length := max(t.Length, 1)
	column := func(m sim.Micros) int { return int(int64(m) * int64(bar.Width-1) / int64(length)) }
	draw := func(y int, label string, spans []sim.Span, shade lanes.Tone, role term.Role) {
		c.Text(0, y, label, term.Dim)
		for x := range bar.Width {
			rest := lanes.Dotted
			if t.At > 0 && x <= column(min(t.At, length)) {
				rest = lanes.Faint
			}
			bar.Set(x, y, c.Glyphs.Shades[rest], term.Dim)
		}
		for _, s := range spans {
			for x := column(s.From); x <= column(min(s.To, length)) && x < bar.Width; x++ {
				bar.Set(x, y, c.Glyphs.Shades[shade], role)
			}
		}
	}
	draw(0, "task", t.Wanted, lanes.Dense, term.Strong)
	var made []sim.Span
	for _, s := range t.Made {
		if t.At > 0 {
			made = append(made, sim.Span{From: s.From, To: min(s.To, t.At)})
		}
	}
	draw(1, "yours", made, lanes.Solid, term.Pressed)
	if t.At > 0 && t.At <= length {
		for y := range 2 {
			bar.Set(column(t.At), y, c.Glyphs.Cursor, term.Pointer)
		}
	}
}

// drawHold draws the hold in the press window, and marks the previous one.
func (d *drillPage) drawHold(c *term.Canvas, p *Screen, v trainer.View) {
	marks := term.HoldMarks{}
	if n := len(d.drill.Flicks()); n > 0 && v.Hold.Holding {
		marks.Previous = d.drill.Flicks()[n-1].Hold()
	}
	if p.setup.Rig.Camera.Window() == sim.DefaultRig().Camera.Window() {
		marks.Note = "example: measure yours"
	}
	term.DrawHold(c, v.Hold, marks)
}

// holdsShown is the number of holds that the strip shows.
const holdsShown = 20

// drawStrip draws the last holds at their places in the press window, each with its
// trial's outcome. Holds at the same place are stacked, the latest on top.
func (d *drillPage) drawStrip(c *term.Canvas, v trainer.View) {
	flicks := d.drill.Flicks()
	flicks = flicks[max(0, len(flicks)-holdsShown):]
	if v.Hold.Camera.LongPress.High == 0 { // no drill runs
		return
	}
	column := term.HoldColumns(c, v.Hold)
	taken := make([]int, c.Width)
	for i := len(flicks) - 1; i >= 0; i-- {
		x := column(flicks[i].Hold())
		if taken[x] < c.Height {
			mark := marks[d.outcomeOf(flicks[i])]
			c.Set(x, taken[x], mark.text(c.Glyphs), mark.role)
			taken[x]++
		}
	}
}

// mark is the shape and colour of an outcome.
type mark struct {
	shape, ascii string
	role         term.Role
}

func (m mark) text(g *term.Glyphs) string {
	if g.ASCII {
		return m.ascii
	}
	return m.shape
}

// marks has the mark of each outcome; "" is for a flick without a trial.
var marks = map[trainer.Outcome]mark{
	trainer.OutcomeRight:  {"●", "o", term.Right},
	trainer.OutcomeOff:    {"◆", "*", term.Strong},
	trainer.OutcomeMissed: {"×", "x", term.Problem},
	trainer.OutcomeEarly:  {"◁", "<", term.Problem},
	"":                    {"·", ".", term.Dim},
}

// outcomeOf returns the outcome of a flick's trial, "" if it has not ended.
func (d *drillPage) outcomeOf(f trainer.Flick) trainer.Outcome {
	results := d.drill.Results()
	for i := len(results) - 1; i >= 0; i-- {
		if r := results[i]; f.Down >= r.Began && f.Down <= r.Ended {
			return r.Outcome
		}
	}
	return ""
}
