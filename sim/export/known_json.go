package export

import (
	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
)

// jsonKnown is what is known of a flight, if the rig leaves something open or
// something was observed.
type jsonKnown struct {
	MinPress       [2]sim.Micros `json:"min_press_us"`
	LongPress      [2]sim.Micros `json:"long_press_us"`
	StartRecording float64       `json:"start_recording"`
	// Courses is the number of possible courses, omitted if every press is in
	// some doubt. Likeliest is the chance of the one shown, if one is singled
	// out.
	Courses     int        `json:"courses,omitempty"`
	Likeliest   float64    `json:"likeliest,omitempty"`
	Unexplained int        `json:"unexplained"`
	Clips       []jsonPair `json:"clips,omitempty"`
	Ask         []jsonAsk  `json:"ask"` // the best first
}

// jsonPair pairs a clip with a take; 0 is none.
type jsonPair struct {
	Clip int    `json:"clip"`
	Name string `json:"name,omitempty"`
	// Length is omitted if unknown.
	Length *sim.Micros `json:"length_us,omitempty"`
	Take   int         `json:"take"`
}

type jsonAsk struct {
	What      string      `json:"what"` // "light" or "clip-count"
	At        *sim.Micros `json:"at_us,omitempty"`
	From      *sim.Micros `json:"from_us,omitempty"`
	To        *sim.Micros `json:"to_us,omitempty"`
	Bits      float64     `json:"bits"`
	Recording *float64    `json:"recording,omitempty"`
}

func toJSONKnown(f *flight.Flight) *jsonKnown {
	k := f.Known
	if f.Replay.Belief == nil && k.Pairs == nil && k.Unexplained == 0 {
		return nil
	}
	return &jsonKnown{
		MinPress:       [2]sim.Micros{k.MinPress.Low, k.MinPress.High},
		LongPress:      [2]sim.Micros{k.LongPress.Low, k.LongPress.High},
		StartRecording: sixDigits(k.StartRecording),
		Courses:        k.Histories,
		Likeliest:      sixDigits(k.Likeliest),
		Unexplained:    k.Unexplained,
		Clips: each(k.Pairs, func(p belief.Pair) jsonPair {
			pair := jsonPair{Clip: p.Clip, Take: p.Take}
			if p.Clip > 0 {
				clip := f.Clips[p.Clip-1]
				pair.Name = clip.Name
				if !clip.NoLength {
					pair.Length = &clip.Length
				}
			}
			return pair
		}),
		Ask: each(k.Ask, toJSONAsk),
	}
}

func toJSONAsk(q belief.Question) jsonAsk {
	if q.CountClips {
		return jsonAsk{What: "clip-count", Bits: sixDigits(q.Gain)}
	}
	return jsonAsk{What: "light", At: &q.At, From: &q.From, To: &q.To, Bits: sixDigits(q.Gain), Recording: &q.Recording}
}
