package sim

// settle lets a new position count once it has been held for a time without a
// break, at the end of that time (M4). A position that changes back at that
// very moment does not count: the input of an instant comes first (M0).
type settle struct {
	hold    Micros
	pressed bool // the position that counts
	held    Edge // the position that waits to count
	due     Micros
}

// newSettle returns the stage at t = 0, where the position counts at once.
func newSettle(hold Micros, pressed bool) settle {
	return settle{hold: hold, pressed: pressed, due: Never}
}

// Step takes a new position.
func (s *settle) Step(e Edge) (Edge, bool) {
	s.due = Never
	if e.Pressed == s.pressed {
		return Edge{}, false
	}
	if s.hold == 0 {
		s.pressed = e.Pressed
		return e, true
	}
	s.held, s.due = e, e.At+s.hold
	return Edge{}, false
}

// Deadline returns the moment at which the waiting position will count.
func (s *settle) Deadline() Micros { return s.due }

// Expire lets the waiting position count.
func (s *settle) Expire(at Micros) (Edge, bool) {
	s.due = Never
	s.pressed = s.held.Pressed
	s.held.At = at
	return s.held, true
}
