package starter

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
)

// question asks for a part of the rig. take sets the answer in the rig and
// returns the keys that it set; its error says what would be accepted.
type question struct {
	text, proposed string
	take           func(*sim.Rig, string) ([]string, error)
}

var errUnknown = errors.New("want one of the answers in parentheses")

// rigQuestions lists the eight questions.
var rigQuestions = []question{
	{"a name for the rig", "Heron", func(r *sim.Rig, answer string) ([]string, error) {
		r.Name = answer
		return []string{"name"}, nil
	}},
	{"the column of the switch in your logs (its header, or #7; - = not known yet)", "-", func(r *sim.Rig, answer string) ([]string, error) {
		if answer == "-" {
			return nil, nil
		}
		r.Log.Channel = answer
		return []string{"log.channel"}, nil
	}},
	{"the positions of the switch that press (far = the far end, centre = centre and far end, near = the near end)", "far", func(r *sim.Rig, answer string) ([]string, error) {
		ranges, known := map[string][]sim.PulseRange{"far": farEnd, "centre": {{Low: 1250, High: 2250}}, "near": {{Low: 750, High: 1300}}}[answer]
		if !known {
			return nil, errUnknown
		}
		r.Switch.Press = ranges
		return []string{"switch.press"}, nil
	}},
	{"from the output to the camera's wire (direct, or inverting = through a transistor)", "direct", func(r *sim.Rig, answer string) ([]string, error) {
		if !slices.Contains(sim.Couplings, sim.Coupling(answer)) {
			return nil, errUnknown
		}
		wire(r, sim.Coupling(answer), r.Camera.PressedLevel)
		return wiringKeys, nil
	}},
	{"the level of the camera's wire that presses (high, or low = to ground)", "low", func(r *sim.Rig, answer string) ([]string, error) {
		if answer != string(sim.ActiveHigh) && answer != string(sim.ActiveLow) {
			return nil, errUnknown
		}
		wire(r, r.Line.Through, sim.Polarity(answer))
		return wiringKeys, nil
	}},
	{"the time between two updates of this channel by the radio link (0s = not known)", "20ms", func(r *sim.Rig, answer string) (keys []string, err error) {
		r.Link.Frame, err = sim.ParseDuration(answer)
		return []string{"link.frame"}, err
	}},
	{"the shortest hold that toggles, from the bench (such as 80ms, or 60ms to 110ms; - = not measured)", "-", func(r *sim.Rig, answer string) ([]string, error) {
		return measured(&r.Camera.MinPress, "camera.min_press", answer)
	}},
	{"the shortest hold that is a long press (such as 1.5s, or 1.2s to 1.6s; - = not measured)", "-", func(r *sim.Rig, answer string) ([]string, error) {
		return measured(&r.Camera.LongPress, "camera.long_press", answer)
	}},
}

// measured takes a threshold, or a range of it.
func measured(threshold *sim.Interval, key, answer string) ([]string, error) {
	if answer == "-" {
		return nil, nil
	}
	from, to, isRange := strings.Cut(answer, " to ")
	if !isRange {
		to = from
	}
	low, err := sim.ParseDuration(strings.TrimSpace(from))
	if err != nil {
		return nil, err
	}
	high, err := sim.ParseDuration(strings.TrimSpace(to))
	if err != nil {
		return nil, err
	}
	*threshold = sim.Interval{Low: low, High: high}
	return []string{key}, nil
}

// Ask asks the questions, reads one line for each answer, and returns the text of
// a rig with the answers in it. Prompts go to prompts, other remarks to note. It
// is an error if the answers end early.
func Ask(text []byte, in io.Reader, prompts io.Writer, note func(format string, args ...any)) ([]byte, error) {
	answers := bufio.NewScanner(in)
	note("Eight questions. Enter takes the answer in brackets.")
	for i, q := range rigQuestions {
		for {
			fmt.Fprintf(prompts, "%d  %s [%s]: ", i+1, q.text, q.proposed)
			if !answers.Scan() {
				note("")
				return nil, problem.WrongUsage(fmt.Errorf("found the end of the answers at question %d, want eight answers", i+1))
			}
			answer := cmp.Or(strings.TrimSpace(answers.Text()), q.proposed)
			edited, err := q.answered(text, answer)
			if err == nil {
				text = edited
				break
			}
			note("   found %q: %v", answer, err)
		}
	}
	return text, nil
}

// answered returns the text with an answer in it. It is an error if the rig then
// cannot work.
func (q question) answered(text []byte, answer string) ([]byte, error) {
	file, err := rigfile.Parse(text, "the rig so far")
	if err != nil {
		return nil, err
	}
	keys, err := q.take(&file.Rig, answer)
	if err != nil {
		return nil, err
	}
	if err := file.Rig.Validate(); err != nil {
		return nil, err
	}
	return rigfile.EditMeasured(text, "the rig so far", file.Rig, keys...)
}
