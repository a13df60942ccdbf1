package sim

// line is the controller's output. It takes over its input at every refresh and
// keeps its level in between, so a press between two refreshes is never seen
// (M6). Refreshes fall on t = 0, Update, 2·Update, …
type line struct {
	update  Micros
	pressed bool   // the output
	in      Edge   // what the next refresh takes over
	due     Micros // that refresh, Never if it would change nothing
}

// newLine returns the stage after its refresh at t = 0.
func newLine(update Micros, pressed bool) line {
	return line{update: update, pressed: pressed, due: Never}
}

// Step takes an edge. A refresh at the same moment sees it.
func (l *line) Step(e Edge) (Edge, bool) {
	if l.update == 0 {
		l.pressed = e.Pressed
		return e, true
	}
	l.in, l.due = e, Never
	if e.Pressed != l.pressed {
		l.due = roundUp(e.At, l.update)
	}
	return Edge{}, false
}

// Deadline returns the refresh that will change the output.
func (l *line) Deadline() Micros { return l.due }

// Expire refreshes.
func (l *line) Expire(at Micros) (Edge, bool) {
	l.pressed, l.due = l.in.Pressed, Never
	l.in.At = at
	return l.in, true
}

// wire carries the line to the camera: it applies the delay, the boot level
// until the first output arrives, and the polarity (M6). Its output is what the
// camera reads.
type wire struct {
	delay   Micros
	invert  bool
	pressed bool   // as the camera reads it
	transit []Edge // delayed edges, with their arrival times
}

// newWire returns the stage at t = 0, where the line is first refreshed to
// pressed.
func newWire(spec LineSpec, inverted, pressed bool) wire {
	w := wire{delay: spec.Delay, invert: inverted}
	if spec.Delay == 0 {
		w.pressed = pressed != inverted
		return w
	}
	boot := spec.Boot == BootPressed
	w.pressed = boot != inverted
	if pressed != boot {
		w.transit = append(w.transit, Edge{At: spec.Delay, Pressed: pressed})
	}
	return w
}

// Step takes an edge of the output.
func (w *wire) Step(e Edge) (Edge, bool) {
	if w.delay > 0 {
		e.At += w.delay
		w.transit = append(w.transit, e)
		return Edge{}, false
	}
	return w.arrive(e)
}

// Deadline returns the moment at which the next edge arrives.
func (w *wire) Deadline() Micros {
	if len(w.transit) == 0 {
		return Never
	}
	return w.transit[0].At
}

// Expire lets the next edge arrive.
func (w *wire) Expire(Micros) (Edge, bool) {
	e := w.transit[0]
	w.transit = append(w.transit[:0], w.transit[1:]...)
	return w.arrive(e)
}

func (w *wire) arrive(e Edge) (Edge, bool) {
	e.Pressed = e.Pressed != w.invert
	changed := e.Pressed != w.pressed
	w.pressed = e.Pressed
	return e, changed
}
