package history

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/sim/rigfile"
)

// RigHash returns a hash of the rig's settings that matter in practice: the keys of its
// file that differ from the default, except its name and those of a log. So a key that
// is added to rig files later changes no hash until it is used.
func RigHash(rig sim.Rig) string {
	var keys strings.Builder
	for _, d := range rigfile.Differences(sim.DefaultRig(), rig) {
		if !strings.HasPrefix(d.Key, "log.") && !strings.HasPrefix(d.Key, "doubt.") {
			fmt.Fprintf(&keys, "%s = %s\n", d.Key, d.Second)
		}
	}
	return shortHash([]byte(keys.String()))
}

func shortHash(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

// Recognise replaces the former hash of a rig by its hash, so that old drills count for
// the rig.
func (h *History) Recognise(rig sim.Rig) {
	former, hash := formerHash(rig), RigHash(rig)
	for _, d := range h.Drills {
		if d.RigHash == former {
			d.RigHash = hash
		}
	}
}

// formerHash returns the hash that earlier versions used: of a struct as JSON, with the
// fields of that time.
func formerHash(rig sim.Rig) string {
	c, l := rig.Camera, rig.Line
	text, err := json.Marshal(formerRig{
		Switch: rig.Switch, SignalLoss: rig.SignalLoss, Link: rig.Link, OneShot: rig.OneShot,
		Line: formerLine{l.Active, l.Update, l.Delay, l.Boot, l.BootFor},
		Camera: formerCamera{
			c.PressedLevel, c.MinPress, c.MinGap, c.LongPress, c.ToggleOn, c.LongAction, c.LongFires,
			c.StartDelay, c.StopDelay, c.Boot, c.WakePress, c.WakeInto, c.Start,
		},
	})
	if err != nil {
		panic(fmt.Sprintf("internal error: rig cannot be hashed: %v", err))
	}
	return shortHash(text)
}

type formerRig struct {
	Name       string
	Log        formerLog
	Switch     sim.SwitchSpec
	SignalLoss sim.SignalLossSpec
	Link       sim.LinkSpec
	OneShot    sim.OneShotSpec
	Line       formerLine
	Camera     formerCamera
}

// formerLog is always empty in the hash.
type formerLog struct {
	Time, Unit, Channel string
	Scale, Offset       float64
	Armed               string
	ArmedRange          []sim.PulseRange
}

type formerLine struct {
	Active        sim.Polarity
	Update, Delay sim.Micros
	Boot          sim.BootLevel
	BootFor       sim.Micros
}

type formerCamera struct {
	PressedLevel                           sim.Polarity
	MinPress                               sim.Interval
	MinGap                                 sim.Micros
	LongPress                              sim.Interval
	ToggleOn                               sim.ToggleEdge
	LongAction                             sim.Action
	LongFires                              sim.LongMoment
	StartDelay, StopDelay, Boot, WakePress sim.Micros
	WakeInto                               sim.WakeState
	Start                                  sim.StartState
}
