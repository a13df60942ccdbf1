package export

import (
	"io"
	"math"

	"flicktally/sim"
	"flicktally/sim/fit"
	"flicktally/sim/flight"
)

// The JSON of a press window: from trials, and from flights.

type jsonWindow struct {
	Schema     int           `json:"schema"`
	Trials     int           `json:"trials"`
	Shape      fit.Shape     `json:"shape"`
	Confidence float64       `json:"confidence"`
	MinPress   jsonThreshold `json:"min_press"`
	LongPress  jsonThreshold `json:"long_press"`
	Next       *jsonNext     `json:"next,omitempty"`
}

type jsonThreshold struct {
	Low      sim.Micros   `json:"low_us"`
	High     optional     `json:"high_us,omitzero"` // left out if open
	Best     optional     `json:"best_us,omitzero"`
	Bracket  *jsonBracket `json:"bracket_us,omitempty"` // if no trial contradicts another
	Jitter   *sim.Micros  `json:"jitter_us,omitempty"`  // if trials do: standard deviation
	Response *jsonBracket `json:"response_us,omitempty"`
	Falls    bool         `json:"falls"`
	Odd      []int        `json:"contradicting_trials"`
	Curve    *jsonCurve   `json:"curve,omitempty"`
}

type jsonBracket struct {
	Low  sim.Micros `json:"low_us"`
	High optional   `json:"high_us,omitzero"` // left out if open
}

func toJSONBracket(i sim.Interval) *jsonBracket { return &jsonBracket{i.Low, optional(i.High)} }

// jsonCurve is the response curve over seconds of hold.
type jsonCurve struct {
	Intercept     float64       `json:"intercept"`
	Slope         float64       `json:"slope_per_s"`
	Covariance    [2][2]float64 `json:"covariance"`
	StandardError float64       `json:"threshold_se_s"`
	Fieller       [2]*float64   `json:"fieller_s"` // null where there is no end
	Deviance      float64       `json:"deviance"`
	Freedom       int           `json:"degrees_of_freedom"`
}

type jsonNext struct {
	For  fit.ThresholdName `json:"for"`
	Hold sim.Micros        `json:"hold_us"`
}

// Window writes what trials show of a press window, and what to try next.
func Window(out io.Writer, w fit.Window, goal fit.Goal) error {
	j := jsonWindow{
		Schema: schema, Trials: len(w.Trials), Shape: w.Options.Shape, Confidence: w.Options.Confidence,
		MinPress: toJSONThreshold(w, w.MinPress), LongPress: toJSONThreshold(w, w.LongPress),
	}
	if next, more := w.Next(goal); more {
		j.Next = &jsonNext{next.For, next.Hold}
	}
	return newJSON(out).Encode(j)
}

func toJSONThreshold(w fit.Window, t fit.Threshold) jsonThreshold {
	j := jsonThreshold{
		Low: t.Range.Low, High: optional(t.Range.High), Best: optional(sim.Never),
		Falls: t.Falls, Odd: append([]int{}, t.Contradicting...),
	}
	switch {
	case t.Agree:
		j.Bracket = toJSONBracket(t.Bracket)
	case !t.Falls:
		j.Jitter = &t.Jitter
	}
	if !t.Open() {
		j.Best, j.Response = optional(t.Best), toJSONBracket(t.Response)
	}
	if c := t.Curve; c != nil {
		_, se := c.Threshold()
		fieller := c.Fieller(w.Options.Confidence)
		j.Curve = &jsonCurve{
			c.Intercept, c.Slope, c.Covariance, se,
			[2]*float64{finite(fieller.Low), finite(fieller.High)}, c.Deviance, c.DegreesOfFreedom,
		}
	}
	return j
}

// finite returns nil for an infinity, which JSON cannot write.
func finite(v float64) *float64 {
	if math.IsInf(v, 0) {
		return nil
	}
	return &v
}

type jsonFoundWindow struct {
	Schema    int       `json:"schema"`
	Flights   int       `json:"flights"`
	Clips     int       `json:"clips"`
	MinPress  jsonFound `json:"min_press"`
	LongPress jsonFound `json:"long_press"`
}

// jsonFound is what the clips leave of the range that was searched. The key told
// says whether they narrowed it.
type jsonFound struct {
	Low    sim.Micros   `json:"low_us"`
	High   sim.Micros   `json:"high_us"`
	Asked  *jsonBracket `json:"looked_for_us"`
	Narrow bool         `json:"told"`
}

// FoundWindow writes what the clips of flights show of the press window.
func FoundWindow(out io.Writer, flights []flight.Flight, found []flight.Found) error {
	of := func(f flight.Found) jsonFound {
		return jsonFound{f.Range.Low, f.Range.High, toJSONBracket(f.Asked), f.Narrowed()}
	}
	return newJSON(out).Encode(jsonFoundWindow{schema, len(flights), len(flights[0].Clips), of(found[0]), of(found[1])})
}
