package season

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"time"

	"flicktally/sim"
)

// document is a season in JSON: for scripts, and to merge seasons.
type document struct {
	Schema int    `json:"schema"`
	Rig    string `json:"rig"` // its name
	// Camera and Window are the ranges that contain the thresholds with 95 %,
	// and those assumed before.
	Camera window `json:"camera"`
	Before window `json:"camera_before"`
	Flicks struct {
		Count   int    `json:"count"`
		Toggled int    `json:"toggled"`
		Doubt   int    `json:"doubtful"`
		Why     counts `json:"why"`
	} `json:"flicks"`
	Flights []flightEntry `json:"flights"`
	Outings []outingEntry `json:"outings"`
	LeftOut []LeftOut     `json:"left_out"`
	Days    []periodEntry `json:"days"`
	Weeks   []periodEntry `json:"weeks"`
	Months  []periodEntry `json:"months"`
	Next    []adviceEntry `json:"next"`
}

type window struct {
	MinPress  [2]sim.Micros `json:"min_press_us"`
	LongPress [2]sim.Micros `json:"long_press_us"`
}

type flightEntry struct {
	Flight
	Outing int `json:"outing"` // from 1
}

type outingEntry struct {
	Folder  string `json:"folder"`
	Clips   *int   `json:"clips"`
	Glances int    `json:"glances"`
	// Trials is the number of bench trials, made at Made, if this is no flight.
	Trials   int       `json:"trials,omitempty"`
	Made     time.Time `json:"made,omitzero"`
	Evidence Evidence  `json:"evidence"`
	// Camera is what was known after it; omitted if it had no evidence.
	Camera *window `json:"camera,omitempty"`
}

type periodEntry struct {
	Name    string     `json:"name"` // 2026-06-13, 2026-W24, 2026-06
	Flights int        `json:"flights"`
	Flicks  int        `json:"flicks"`
	Toggled int        `json:"toggled"`
	Pooled  float64    `json:"pooled"`
	Within  [2]float64 `json:"within"`
}

type adviceEntry struct {
	Kind  kind    `json:"kind"`
	Text  string  `json:"text"`
	Drill string  `json:"drill,omitempty"`
	Saves float64 `json:"saves_per_hundred"`
	// Within is left out where no interval holds.
	Within *[2]float64 `json:"within,omitempty"`
	AtMost bool        `json:"at_most"`
}

func windowOf(least, longs sim.Interval) window {
	return window{[2]sim.Micros{least.Low, least.High}, [2]sim.Micros{longs.Low, longs.High}}
}

func periodEntries(all []Period) []periodEntry {
	entries := make([]periodEntry, len(all))
	for i, p := range all {
		entries[i] = periodEntry{p.Name, p.Flights, p.Toggled.Trials, p.Toggled.Hits, p.Pooled, [2]float64{p.Within.Low, p.Within.High}}
	}
	return entries
}

// WriteJSON writes the season as one JSON object.
func (s *Season) WriteJSON(w io.Writer) error {
	d := document{
		Schema: 1, Rig: s.Rig.Name,
		Camera:  windowOf(s.Camera.MinPress, s.Camera.LongPress),
		Before:  windowOf(s.Rig.Camera.MinPress, s.Rig.Camera.LongPress),
		Flights: []flightEntry{}, Outings: []outingEntry{}, LeftOut: append([]LeftOut{}, s.LeftOut...),
		Days: periodEntries(s.Days), Weeks: periodEntries(s.Weeks), Months: periodEntries(s.Months), Next: []adviceEntry{},
	}
	d.Flicks.Count, d.Flicks.Toggled, d.Flicks.Doubt, d.Flicks.Why = s.Flicks.Trials, s.Flicks.Hits, s.Doubt, counts{}
	for _, c := range s.Why {
		d.Flicks.Why[c.Outcome] = c.Of.Hits
	}
	for i, o := range s.Outings {
		d.Outings = append(d.Outings, outingEntry{
			Folder: o.Folder, Clips: o.Clips, Glances: o.Glances, Trials: o.Trials, Made: o.Made, Evidence: o.Evidence,
		})
		for _, f := range o.Flights {
			d.Flights = append(d.Flights, flightEntry{f, i + 1})
		}
	}
	slices.SortStableFunc(d.Flights, func(a, b flightEntry) int { return earlier(a.Flight, b.Flight) })
	for _, step := range s.Camera.Steps {
		known := windowOf(step.MinPress, step.LongPress)
		d.Outings[step.Outing].Camera = &known
	}
	for _, a := range s.Next {
		entry := adviceEntry{Kind: a.Kind, Text: a.Text, Drill: a.Drill, Saves: a.PerHundred(), AtMost: a.AtMost}
		if within, ok := a.Within(); ok {
			entry.Within = &[2]float64{within.Low, within.High}
		}
		d.Next = append(d.Next, entry)
	}
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	return out.Encode(d)
}

// ReadJSON reads the outings of a season written as JSON, to merge them with
// others. It is an error if their camera differs from the rig's.
func ReadJSON(r io.Reader, name string, rig sim.Rig) ([]Outing, []LeftOut, error) {
	var d document
	if err := json.NewDecoder(r).Decode(&d); err != nil {
		return nil, nil, fmt.Errorf("%s: found no season in JSON, want what flicktally season --json wrote: %w", name, err)
	}
	if d.Schema != 1 {
		return nil, nil, fmt.Errorf("%s: found schema %d, want 1", name, d.Schema)
	}
	if want := windowOf(rig.Camera.MinPress, rig.Camera.LongPress); d.Before != want {
		return nil, nil, fmt.Errorf("%s: found a season whose camera was thought to have other thresholds, want min_press %s and long_press %s as in the rig",
			name, rig.Camera.MinPress, rig.Camera.LongPress)
	}
	grid := GridOf(rig)
	outings := make([]Outing, len(d.Outings))
	for i, o := range d.Outings {
		if o.Evidence != nil && len(o.Evidence) != grid.MinCells*grid.LongCells {
			return nil, nil, fmt.Errorf("%s: found evidence of %d cells, want %d", name, len(o.Evidence), grid.MinCells*grid.LongCells)
		}
		outings[i] = Outing{
			Folder: o.Folder, Clips: o.Clips, Glances: o.Glances, Trials: o.Trials, Made: o.Made, Evidence: o.Evidence,
		}
	}
	for _, f := range d.Flights {
		if f.Outing < 1 || f.Outing > len(outings) {
			return nil, nil, fmt.Errorf("%s: found a flight of outing %d, want 1 to %d", name, f.Outing, len(outings))
		}
		o := &outings[f.Outing-1]
		o.Flights = append(o.Flights, f.Flight)
	}
	for i, o := range outings {
		if len(o.Flights) == 0 && o.Trials == 0 {
			return nil, nil, fmt.Errorf("%s: found no flight of outing %d", name, i+1)
		}
	}
	return outings, d.LeftOut, nil
}

// Merge merges the outings of several seasons. A flight in more than one counts
// once.
func Merge(parts ...[]Outing) (all []Outing, left []LeftOut) {
	type key struct {
		file    string
		segment int
		began   int64
	}
	seen := map[key]bool{}
	for _, part := range parts {
		for _, o := range part {
			first := o.first()
			k := key{first.File, first.Segment, first.Began.UnixMicro()}
			if seen[k] {
				left = append(left, LeftOut{first.File, "it is in another season too"})
				continue
			}
			seen[k] = true
			all = append(all, o)
		}
	}
	return all, left
}
