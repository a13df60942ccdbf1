package history

import (
	"time"

	"flicktally/sim"
	"flicktally/trainer"
)

// schema is the version of the format.
const schema = 1

// Context is the device, the rig and the program that a drill is done with. It is in
// every line.
type Context struct {
	Device     string     `json:"device"` // "keyboard", or the name of the transmitter
	RigName    string     `json:"rig"`
	RigHash    string     `json:"rig_hash"`
	Version    string     `json:"version"`       // of the program
	Resolution sim.Micros `json:"resolution_us"` // of the device
}

// lineType is the type of a line.
type lineType string

const (
	typeDrill lineType = "drill"
	typeRun   lineType = "run"
	typeFlick lineType = "flick"
	typeTrial lineType = "trial"
)

// record is a line of the journal. It has the part of its type.
type record struct {
	Schema int      `json:"schema"`
	Type   lineType `json:"type"`
	Drill  string   `json:"drill"` // identifies the drill; sorts by its start
	Context
	Begin *drillPart `json:"begin,omitempty"`
	Run   *runPart   `json:"run,omitempty"`
	Flick *flickPart `json:"flick,omitempty"`
	Trial *trialPart `json:"trial,omitempty"`
}

// drillPart is the start of a drill, with all that reproduces the samples of its
// runs.
type drillPart struct {
	At          time.Time    `json:"at"`
	Kind        trainer.Kind `json:"kind"`
	Seed        uint64       `json:"seed"`
	Cold        bool         `json:"cold"`
	WithoutLink bool         `json:"without_link"`
	Frame       sim.Micros   `json:"frame_us"`
	Loss        float64      `json:"loss"`
	StaleAfter  sim.Micros   `json:"stale_after_us"`
	Update      sim.Micros   `json:"update_us"`
	Aim         sim.Micros   `json:"aim_us,omitempty"` // missing in old journals
}

type runPart struct {
	N     int            `json:"n"`
	From  sim.Micros     `json:"from_us"`
	Phase sim.Micros     `json:"phase_us"`
	Rest  sim.PulseWidth `json:"rest"`
	Start sim.StartState `json:"start"`
}

type flickPart struct {
	N        int         `json:"n"`
	Run      int         `json:"run"`
	Cold     bool        `json:"cold,omitempty"`
	Down     sim.Micros  `json:"down_us"`
	Up       sim.Micros  `json:"up_us"`
	Verdict  sim.Verdict `json:"verdict"`
	Effect   sim.Effect  `json:"effect,omitempty"`
	Seen     sim.Micros  `json:"seen_us"`
	Margin   sim.Micros  `json:"margin_us"`
	TooClose bool        `json:"too_close,omitempty"`
	Unsure   bool        `json:"unsure,omitempty"`
	Wait     sim.Micros  `json:"wait_us,omitempty"`
	Took     sim.Micros  `json:"took_us,omitempty"`
	Moves    []movePart  `json:"moves"`
	Presses  []pressPart `json:"presses"`
}

type movePart struct {
	At    sim.Micros     `json:"at_us"`
	Value sim.PulseWidth `json:"value"`
}

type pressPart struct {
	N          int         `json:"n"`
	Down       sim.Micros  `json:"down_us"`
	Up         sim.Micros  `json:"up_us"`
	Effect     sim.Micros  `json:"effect_us"`
	Verdict    sim.Verdict `json:"verdict"`
	Acts       *sim.Micros `json:"acts_us,omitempty"` // absent if it did nothing
	StateAt    sim.State   `json:"state_at"`
	StateAfter sim.State   `json:"state_after"`
}

type trialPart struct {
	N     int          `json:"n"`
	Kind  trainer.Kind `json:"kind"`
	Level int          `json:"level"`
	Began sim.Micros   `json:"began_us"`
	Ended sim.Micros   `json:"ended_us"`
	// Outcome is missing in old journals.
	Outcome   trainer.Outcome `json:"result,omitempty"`
	Right     bool            `json:"right"`
	Within    bool            `json:"within"`
	Uncounted bool            `json:"uncounted,omitempty"`
	Cold      bool            `json:"cold,omitempty"`
	Scored    bool            `json:"scored,omitempty"`
	Off       sim.Micros      `json:"off_us,omitempty"`
	Tolerance sim.Micros      `json:"tolerance_us,omitempty"`
	Top       bool            `json:"top,omitempty"`
	Words     string          `json:"words"`
}

func newDrillPart(d *trainer.Drill, at time.Time) *drillPart {
	s, rig := d.Setup(), d.Rig()
	return &drillPart{
		At: at, Kind: s.Kind, Seed: s.Seed, Cold: s.Cold, WithoutLink: s.WithoutLink,
		Frame: rig.Link.Frame, Loss: rig.Link.Loss, StaleAfter: rig.SignalLoss.StaleAfter, Update: rig.Line.Update,
		Aim: d.Aim(),
	}
}

// usable reports whether the rig is valid.
func (p *drillPart) usable() bool { return p.rig().Validate() == nil }

// rig returns a rig with all that the samples of a run depend on.
func (p *drillPart) rig() sim.Rig {
	rig := sim.DefaultRig()
	rig.Link = sim.LinkSpec{Frame: p.Frame, Loss: p.Loss}
	rig.SignalLoss.StaleAfter, rig.Line.Update = p.StaleAfter, p.Update
	return rig
}

func newFlickPart(f trainer.Flick) *flickPart {
	p := &flickPart{
		N: f.N, Run: f.Run, Cold: f.Cold, Down: f.Down, Up: f.Up, Verdict: f.Verdict, Effect: f.Effect, Seen: f.Seen, Margin: f.Margin,
		TooClose: f.TooClose, Unsure: f.Unsure, Wait: f.Wait, Took: f.Took,
		Moves: []movePart{}, Presses: []pressPart{},
	}
	for _, m := range f.Moves {
		p.Moves = append(p.Moves, movePart(m))
	}
	for _, s := range f.Presses {
		p.Presses = append(p.Presses, newPressPart(s))
	}
	return p
}

// result returns the trial. Old trials have no outcome: one that was not right is
// taken as off for patterns and blind counts, early if hands-off ended at once, else
// missed.
func (p trialPart) result() trainer.Result {
	if p.Outcome == "" {
		switch {
		case p.Right:
			p.Outcome = trainer.OutcomeRight
		case p.Kind == trainer.KindPattern || p.Kind == trainer.KindBlind:
			p.Outcome = trainer.OutcomeOff
		case p.Kind == trainer.KindHandsOff && p.Began == p.Ended:
			p.Outcome = trainer.OutcomeEarly
		default:
			p.Outcome = trainer.OutcomeMissed
		}
	}
	return trainer.Result(p)
}

func newPressPart(s sim.Press) pressPart {
	p := pressPart{
		N: s.N, Down: s.Down, Up: s.Up, Effect: s.Effect,
		Verdict: s.Verdict, StateAt: s.StateAt, StateAfter: s.StateAfter,
	}
	if s.Acts != sim.Never {
		p.Acts = &s.Acts
	}
	return p
}

func (p *flickPart) flick() trainer.Flick {
	f := trainer.Flick{
		N: p.N, Run: p.Run, Cold: p.Cold, Down: p.Down, Up: p.Up, Verdict: p.Verdict, Effect: p.Effect, Seen: p.Seen, Margin: p.Margin,
		TooClose: p.TooClose, Unsure: p.Unsure, Wait: p.Wait, Took: p.Took,
	}
	for _, m := range p.Moves {
		f.Moves = append(f.Moves, trainer.Move(m))
	}
	for _, s := range p.Presses {
		f.Presses = append(f.Presses, s.press())
	}
	return f
}

func (p pressPart) press() sim.Press {
	acts := sim.Never
	if p.Acts != nil {
		acts = *p.Acts
	}
	return sim.Press{
		N: p.N, Down: p.Down, Up: p.Up, Effect: p.Effect,
		Verdict: p.Verdict, Acts: acts, StateAt: p.StateAt, StateAfter: p.StateAfter,
	}
}
