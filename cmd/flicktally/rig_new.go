package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
)

// farEnd is the press range of a switch that presses only at its far end.
var farEnd = []sim.PulseRange{{Low: 1700, High: 2250}}

// likes are common rigs to start from: their changes to the default, and the
// keys changed.
var likes = map[string]struct {
	keys   []string
	change func(*sim.Rig)
}{
	"three-position": {[]string{"switch.press"}, func(r *sim.Rig) { r.Switch.Press = farEnd }},
	"inverting":      {wiringKeys, func(r *sim.Rig) { wire(r, sim.ThroughInverting, sim.ActiveLow) }},
	"one-shot":       {[]string{"oneshot.trigger"}, func(r *sim.Rig) { r.OneShot.Trigger = sim.TriggerRising }},
}

var wiringKeys = []string{"line.active", "line.through", "camera.pressed_level"}

// wire sets the coupling of the output to the camera's wire, and the level that
// presses.
func wire(r *sim.Rig, through sim.Coupling, pressed sim.Polarity) {
	r.Line.Through, r.Line.Active, r.Camera.PressedLevel = through, pressed, pressed
	if through == sim.ThroughInverting {
		r.Line.Active = map[sim.Polarity]sim.Polarity{sim.ActiveHigh: sim.ActiveLow, sim.ActiveLow: sim.ActiveHigh}[pressed]
	}
}

func newRigNew(a *app) *cobra.Command {
	var (
		like string
		ask  bool
		to   outputFlags
	)
	names := strings.Join(slices.Sorted(maps.Keys(likes)), ", ")
	cmd := &cobra.Command{
		Use:   "new",
		Short: "Write a commented rig file to begin with",
		Long: `New prints a rig file with every key, its default and a comment. --like starts
from a common rig instead. --ask asks eight questions: about the switch, the
wiring, the radio link and your bench measurements. Enter takes the value in
brackets.`,
		Example: `  flicktally rig new > rig.toml
  flicktally rig new --ask -o rig.toml
  flicktally rig new --like inverting > rig.toml`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			text := rigfile.Default()
			var err error
			if like != "" {
				if text, err = rigLike(like, names); err != nil {
					return err
				}
			}
			if ask {
				if text, err = a.askRig(text); err != nil {
					return err
				}
			}
			write := func(w io.Writer) error {
				_, err := w.Write(text)
				return err
			}
			if to.out == "" || to.out == "-" {
				return write(a.talk.out)
			}
			return a.files.Write(to.out, to.force, write)
		},
	}
	cmd.Flags().BoolVar(&ask, "ask", false, "ask eight questions")
	cmd.Flags().StringVar(&like, "like", "", "start from a common `rig`: "+names)
	to.add(cmd.Flags(), "write into this `file`")
	return cmd
}

// rigLike returns the text of a common rig.
func rigLike(name, names string) ([]byte, error) {
	like, known := likes[name]
	if !known {
		return nil, problem.WrongUsage(fmt.Errorf("found --like %q, want one of %s", name, names))
	}
	rig := sim.DefaultRig()
	like.change(&rig)
	return rigfile.Edit(rigfile.Default(), "the default rig", rig, like.keys...)
}

// question asks for a part of the rig. take sets the answer in the rig and
// returns the keys that it sets; its error says what would be right.
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
	{"the hold from which on it is a long press (such as 1.5s, or 1.2s to 1.6s; - = not measured)", "-", func(r *sim.Rig, answer string) ([]string, error) {
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

// askRig asks the questions and writes the answers into the text of a rig.
func (a *app) askRig(text []byte) ([]byte, error) {
	answers := bufio.NewScanner(a.in)
	a.talk.note("Eight questions. Enter takes what stands in brackets.")
	for i, q := range rigQuestions {
		for {
			fmt.Fprint(a.talk.err, strconv.Itoa(i+1)+"  "+q.text+" ["+q.proposed+"]: ")
			if !answers.Scan() {
				a.talk.note("")
				return nil, problem.WrongUsage(fmt.Errorf("found the end of the answers at question %d, want eight answers", i+1))
			}
			answer := strings.TrimSpace(answers.Text())
			if answer == "" {
				answer = q.proposed
			}
			edited, err := q.answered(text, answer)
			if err == nil {
				text = edited
				break
			}
			a.talk.note("   found %q: %v", answer, err)
		}
	}
	return text, nil
}

// answered returns the text with an answer in it. A rig that cannot work is an
// error.
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
