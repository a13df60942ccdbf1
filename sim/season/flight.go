package season

import (
	"slices"
	"time"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/habit"
)

// Flight is what a season keeps of one flight.
type Flight struct {
	File     string `json:"file"`
	Segment  int    `json:"segment"` // from 1
	Segments int    `json:"segments"`
	// Began is when the flight began, and Clock its source: the log's own
	// clock, or the time of its file.
	Began time.Time `json:"began"`
	Clock Clock     `json:"clock"`
	Note  string    `json:"note,omitempty"`

	Flicks  int         `json:"flicks"`
	Toggled int         `json:"toggled"`
	Doubt   int         `json:"doubtful"` // of those that toggled, with less than 95 %
	Why     counts      `json:"why"`      // flicks that did not toggle, by outcome
	Armed   *sim.Micros `json:"armed_us"` // nil if the log does not say
	// Recorded is the time in takes.
	Recorded sim.Micros `json:"recorded_us"`
	Takes    int        `json:"takes"`
	Length   sim.Micros `json:"end_us"`
	Held     []Flick    `json:"held"`
}

// Clock says where a moment comes from.
type Clock string

// The clocks.
const (
	LogClock  Clock = "log"
	FileClock Clock = "file"
)

// counts has the number of flicks of each outcome.
type counts map[sim.FlickOutcome]int

// Flick is one flick of the hand.
type Flick struct {
	At   sim.Micros  `json:"at_us"`
	Hold *sim.Micros `json:"hold_us"` // by the samples; nil if there are not two moves
	// Unseen has, for each of the two moves, the time from the previous sample to
	// the one that shows it: the hand may have moved that much earlier. It is nil
	// if a lost signal made one of the moves, so the hand's hold is unknown.
	Unseen  []sim.Micros     `json:"unseen_us"`
	Outcome sim.FlickOutcome `json:"outcome"`
	Chance  float64          `json:"chance"` // of that outcome, 0 to 1
}

// FlightOf extracts what a season needs from a judged flight.
func FlightOf(f *flight.Flight) Flight {
	r := f.Replay
	kept := Flight{
		File: f.File, Segment: f.Segment, Segments: f.Segments,
		Flicks: len(r.Flicks), Why: counts{},
		Recorded: r.Recorded(), Takes: len(r.Takes), Length: r.End, Held: []Flick{},
	}
	if r.Armed != nil {
		kept.Armed, kept.Recorded = &r.Armed.Armed, r.Armed.Recorded
	}
	for _, flick := range r.Flicks {
		chance, doubtful := 1.0, flick.Press > 0 && r.Presses[flick.Press-1].Doubtful
		if doubtful {
			chance = r.Presses[flick.Press-1].Chance
		}
		switch {
		case flick.Outcome != sim.FlickToggled:
			kept.Why[flick.Outcome]++
		case doubtful:
			kept.Toggled++
			kept.Doubt++
		default:
			kept.Toggled++
		}
		kept.Held = append(kept.Held, flickOf(flick, chance))
	}
	return kept
}

func flickOf(f sim.Flick, chance float64) Flick {
	kept := Flick{At: f.Down, Outcome: f.Outcome, Chance: chance}
	if hold := f.Hold(); hold != sim.Never {
		kept.Hold = &hold
		if !f.Lossy {
			kept.Unseen = []sim.Micros{f.DownUnseen, f.UpUnseen}
		}
	}
	return kept
}

// holds returns the known holds of the hand.
func (f *Flight) holds() []habit.Held {
	var all []habit.Held
	for _, k := range f.Held {
		if k.Hold != nil && k.Unseen != nil {
			all = append(all, habit.Held{Hold: *k.Hold, DownUnseen: k.Unseen[0], UpUnseen: k.Unseen[1]})
		}
	}
	return all
}

// day returns the day on which the flight began.
func (f *Flight) day() string { return f.Began.Format(time.DateOnly) }

// Outing is one or more flights that share a card, with its observations, or
// trials at the bench without a flight.
type Outing struct {
	Folder  string   `json:"folder"`
	Flights []Flight `json:"flights"`
	// Trials is the number of bench trials, made at Made.
	Trials  int       `json:"trials,omitempty"`
	Made    time.Time `json:"made,omitzero"`
	Clips   *int      `json:"clips"` // on the card; nil if it was not read
	Glances int       `json:"glances"`
	// Evidence is what the observations say of the thresholds; nil if nothing.
	Evidence Evidence `json:"evidence,omitempty"`
}

// LeftOut is a file that was left out, and why.
type LeftOut struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

// inOrder puts outings, and the flights in them, in order of time.
func inOrder(outings []Outing) []Outing {
	sorted := slices.Clone(outings)
	for i := range sorted {
		sorted[i].Flights = slices.Clone(sorted[i].Flights)
		slices.SortStableFunc(sorted[i].Flights, earlier)
	}
	slices.SortStableFunc(sorted, func(a, b Outing) int { return earlier(a.first(), b.first()) })
	return sorted
}

// first returns the first flight; for bench trials, a stand-in.
func (o *Outing) first() Flight {
	if len(o.Flights) == 0 {
		return Flight{File: o.Folder, Began: o.Made}
	}
	return o.Flights[0]
}

func (o *Outing) day() string { f := o.first(); return f.day() }
