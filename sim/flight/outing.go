package flight

import (
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Outing is the summary of several flights.
type Outing struct {
	Total tell.Total
	Rows  []OutingRow // one for each flight
	// OnCard and Missing count the takes with and without a clip on the card,
	// Strange the clips without a take. All are 0 if the card was not read.
	OnCard, Missing, Strange int
}

// OutingRow is the result of one flight in words; "-" means unknown or none.
type OutingRow struct {
	Log      string
	Toggled  string // of the flicks
	Takes    string
	Recorded string
	Missed   string // of the armed time
	Clips    string // that are its takes, by number
}

// OutingOf sums up flights after [Judge].
func OutingOf(flights []Flight) Outing {
	var o Outing
	var replays []*sim.Replay
	for i := range flights {
		f := &flights[i]
		replays = append(replays, f.Replay)
		total := tell.TotalOf(f.Replay)
		recorded, _ := total.RecordedTime()
		row := OutingRow{
			Log: f.Log(), Toggled: tell.ToggledOf(total.Flicks), Takes: fmt.Sprint(total.Takes),
			Recorded: recorded, Missed: "-", Clips: o.addClips(f),
		}
		if total.ArmedLogs > 0 {
			row.Missed = total.MissedTime()
		}
		o.Rows = append(o.Rows, row)
	}
	o.Total = tell.TotalOf(replays...)
	return o
}

// addClips counts the pairs of clips and takes of a flight, and returns the
// numbers of its clips.
func (o *Outing) addClips(f *Flight) string {
	var clips []string
	if f.Known != nil {
		for _, p := range f.Known.Pairs {
			switch {
			case p.Clip == 0:
				o.Missing++
			case p.Take == 0:
				o.Strange++
			default:
				o.OnCard++
				clips = append(clips, fmt.Sprint(p.Clip))
			}
		}
	}
	if clips == nil {
		return "-"
	}
	return strings.Join(clips, ", ")
}

// CardSummary says how many takes are on the card; "" if it was not read or has
// nothing to say.
func (o Outing) CardSummary() string {
	if o.OnCard+o.Missing+o.Strange == 0 {
		return ""
	}
	text := fmt.Sprintf("on the card: %d of %s", o.OnCard, tell.Counted(o.OnCard+o.Missing, "take", "takes"))
	if o.Strange > 0 {
		text += fmt.Sprintf("; %s that no take explains", tell.Counted(o.Strange, "clip", "clips"))
	}
	return text
}
