package rigcheck

import (
	"fmt"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Finding is something that will or can go wrong with a rig.
type Finding struct {
	Code   tell.Code
	Text   string // what, with the rig's numbers
	Why    string // why it matters
	Remedy string // what to do about it
	// Changes are changes of the rig each of which removes the finding and adds
	// no other; nil if none was found.
	Changes []Change
	// Fault marks what goes wrong in ordinary use. What takes an accident, such
	// as a lost signal, is a risk.
	Fault bool
}

// Rule is one kind of finding.
type Rule struct {
	Code    tell.Code
	Meaning string
	Why     string
	Remedy  string
	blocks  bool                  // no flick arrives, so the rules after this one mean nothing
	find    func(probe) *Finding  // returns nil if all is well
	vary    func(search) []Change // nil if nothing in the rig file helps
}

// Rules lists every kind of finding, in the order of the signal. To add one,
// write it in the file for its subject and list it here.
func Rules() []Rule {
	return []Rule{
		noRest, idlePress, flickeringSignal,
		bootPress, lossPresses, lossHoldsPress,
		unplugged, positionOnEdge, endStopInvalid, noPosition, swallowed, crossed,
		betweenFrames, settledAway, betweenRefreshes,
		pulseTooShort, pulseTooLong, narrowWindow, windowOffFlick,
		slowCamera, offForGood, offByItself, pairs, wakeOutOfReach, wakeSwitchesOff, wakeRecords,
	}
}

// DefaultWithin suits a flight: two seconds from the start of a take to its stop.
const DefaultWithin = 2 * sim.Second

// Report is what Check found.
type Report struct {
	Findings []Finding // faults first, else in the order of [Rules]
	// Figures is nil if the rig has a fault that stops every flick.
	Figures *Figures
}

// Faulty reports whether one of the findings is a fault.
func (r Report) Faulty() bool {
	return slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Fault })
}

// Check probes a rig, which must be valid ([sim.Rig.Validate]). within is the time
// after which the next flick must be able to stop a take that was started, or to
// start one again.
func Check(rig sim.Rig, within sim.Micros) Report {
	p := newProbe(rig, within)
	found := findAll(p)
	after := func(rig sim.Rig) map[tell.Code]*Finding { return findAll(newProbe(rig, within)) }
	var faults, risks []Finding
	blocked := false
	for _, rule := range Rules() {
		f := found[rule.Code]
		if f == nil {
			continue
		}
		f.Code, f.Why, f.Remedy = rule.Code, rule.Why, rule.Remedy
		if rule.vary != nil {
			f.Changes = rule.vary(search{rule, rig, within, found, after})
		}
		if f.Fault {
			faults = append(faults, *f)
		} else {
			risks = append(risks, *f)
		}
		blocked = blocked || rule.blocks
	}
	r := Report{Findings: append(faults, risks...)}
	if !blocked {
		r.Figures = new(p.figures())
	}
	return r
}

// findAll runs the probes of every rule, up to one that blocks the rest.
func findAll(p probe) map[tell.Code]*Finding {
	found := map[tell.Code]*Finding{}
	for _, rule := range Rules() {
		if f := rule.find(p); f != nil {
			found[rule.Code] = f
			if rule.blocks {
				break
			}
		}
	}
	return found
}

func fault(format string, args ...any) *Finding {
	return &Finding{Fault: true, Text: fmt.Sprintf(format, args...)}
}

func risk(format string, args ...any) *Finding {
	return &Finding{Text: fmt.Sprintf(format, args...)}
}

// oneFinding joins all texts of a rule into one finding; nil if there are none.
func oneFinding(fault bool, texts ...string) *Finding {
	if len(texts) == 0 {
		return nil
	}
	return &Finding{Fault: fault, Text: strings.Join(texts, "; ")}
}
