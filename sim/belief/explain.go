package belief

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// The findings about observations. Those of package tell need only a replay.
var (
	unexplainedGlance = tell.Rule{
		Code:    "unexplained-glance",
		Meaning: "What somebody saw of the camera's light fits no history that the rig allows.",
		Remedy:  "check the time of the glance, and whether the rig's ranges are wide enough",
	}
	unexplainedClip = tell.Rule{
		Code:    "unexplained-clip",
		Meaning: "A clip on the card matches no take in any history that the rig allows.",
		Remedy:  "check that the clip is of this flight, and whether the rig's ranges or the clips' timing error are wide enough",
	}
	missingFile = tell.Rule{
		Code:    "missing-file",
		Meaning: "A take has no file on the card.",
		Remedy:  "look for the file; if there is none, check that the camera closes a file before the power goes",
	}
)

// Rules lists the findings that [tell.Rules] does not.
func Rules() []tell.Rule { return []tell.Rule{unexplainedGlance, unexplainedClip, missingFile} }

// explain pairs the clips with the takes of the shown replay and adds findings
// about what does not fit. It reports whether the work was within its limit.
func (r *Result) explain(seen Observations) bool {
	r.explainGlances(seen.Seen)
	if seen.Clips == nil {
		return true
	}
	shown := shownCell(r.Replay)
	// The middle of a cell was rounded to a whole µs.
	m := matcher{seen.Clips, seen.ClipError + sim.Microsecond, maxClipWork}
	if m.whole(shown, shown.region).empty() {
		_, r.Pairs = m.nearest(shown, shown.region, len(seen.Clips)+len(shown.takes))
	} else {
		r.Pairs = m.inOrder(len(shown.takes))
	}
	r.explainPairs(seen.Clips, shown.endsUnknown())
	return !m.spent()
}

// explainGlances adds a finding for each glance that does not fit the shown
// replay, and returns the number of these glances.
func (r *Result) explainGlances(seen []Glance) int {
	n := 0
	for _, g := range seen {
		if state := r.Replay.StateAt(g.At); !g.explainedBy(state) {
			r.Findings = append(r.Findings, glanceUnexplained(g, state))
			n++
		}
	}
	return n
}

// fewAlike is the greatest number of clips, or of takes, without a partner that
// have a finding each.
const fewAlike = 3

// explainPairs adds findings about clips and takes without a partner.
func (r *Result) explainPairs(clips []Clip, endsUnknown bool) {
	var takes, strays []int
	for i, p := range r.Pairs {
		switch {
		case p.Clip == 0:
			takes = append(takes, p.Take)
		case p.Take == 0 && unexplained(r.Pairs[i:], endsUnknown) > 0:
			strays = append(strays, p.Clip)
		}
	}
	if len(takes) > fewAlike {
		r.Findings = append(r.Findings, tell.Finding{
			Code: missingFile.Code, At: r.Replay.Takes[takes[0]-1].Start, Remedy: missingFile.Remedy, Costs: true,
			Text: fmt.Sprintf("%d takes have no file on the card: %s", len(takes), tell.Numbers(takes)),
		})
		takes = nil
	}
	for _, n := range takes {
		r.Findings = append(r.Findings, fileMissing(r.Replay.Takes[n-1]))
	}
	if len(strays) > fewAlike {
		r.Findings = append(r.Findings, tell.Finding{
			Code: unexplainedClip.Code, Remedy: "clips of other flights may stay on the card; if some are of this one, check whether the rig's ranges and --clip-error are wide enough",
			Text: fmt.Sprintf("nothing explains %d of the %d clips: %s", len(strays), len(clips), tell.Numbers(strays)),
		})
		strays = nil
	}
	for _, n := range strays {
		r.Findings = append(r.Findings, r.clipUnexplained(n, clips[n-1]))
	}
}

// inOrder pairs takes with clips one by one.
func (m *matcher) inOrder(takes int) []Pair {
	pairs := make([]Pair, takes)
	for i := range pairs {
		pairs[i] = Pair{i, i}
	}
	return m.withUnpaired(pairs, takes)
}

func glanceUnexplained(g Glance, state sim.State) tell.Finding {
	return tell.Finding{
		Code: unexplainedGlance.Code, At: g.At, Remedy: unexplainedGlance.Remedy,
		Text: fmt.Sprintf("nothing explains the light seen at %s as %s; nearest is that the camera was %s then", g.At.Clock(), g.Light, tell.Condition(state)),
	}
}

func fileMissing(t sim.Take) tell.Finding {
	return tell.Finding{
		Code: missingFile.Code, At: t.Start, Remedy: missingFile.Remedy, Costs: true,
		Text: fmt.Sprintf("take %d, %s long from %s to %s, has no file on the card",
			t.N, t.Length().Readable(), t.Start.Clock(), t.End.Clock()),
	}
}

func (r *Result) clipUnexplained(n int, c Clip) tell.Finding {
	name := ""
	if c.Name != "" {
		name = fmt.Sprintf(" %q", c.Name)
	}
	f := tell.Finding{
		Code: unexplainedClip.Code, Remedy: unexplainedClip.Remedy,
		Text: fmt.Sprintf("nothing explains clip %d%s, %s long", n, name, c.lengthText()),
	}
	if c.NoLength {
		f.Text = fmt.Sprintf("nothing explains clip %d%s, which was never closed", n, name)
		return f
	}
	if t, ok := r.nearestTake(c); ok {
		f.At = t.Start
		f.Text += fmt.Sprintf("; nearest is take %d from %s on, %s long", t.N, t.Start.Clock(), t.Length().Readable())
	}
	return f
}

// nearestTake returns the take whose length is nearest to the clip's, of the takes
// without a file if there are any.
func (r *Result) nearestTake(c Clip) (nearest sim.Take, ok bool) {
	hasFile := map[int]bool{}
	for _, p := range r.Pairs {
		hasFile[p.Take] = p.Clip != 0
	}
	off := func(t sim.Take) sim.Micros { return max(t.Length()-c.Length, c.Length-t.Length()) }
	for _, t := range r.Replay.Takes {
		better := !ok || hasFile[nearest.N] && !hasFile[t.N] ||
			hasFile[nearest.N] == hasFile[t.N] && off(t) < off(nearest)
		if better {
			nearest, ok = t, true
		}
	}
	return nearest, ok
}
