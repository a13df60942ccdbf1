package plot

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// TimingView says which part of a replay a timing chart shows, and how.
type TimingView struct {
	Title string // the verdict
	Name  string // of rig and log
	// Span is the part of the log to show; the zero value is all of it or, with
	// Press, the time around that press.
	Span sim.Span
	// Press is the number of the press to show close up in the press window; 0
	// is none.
	Press int
	Look
}

// spanOf returns the part of the log that the view shows.
func (v TimingView) spanOf(r *sim.Replay) (sim.Span, error) {
	if v.Press < 0 || v.Press > len(r.Presses) {
		return sim.Span{}, fmt.Errorf("found no press %d, want one of the %d in the log", v.Press, len(r.Presses))
	}
	span := v.Span
	if span == (sim.Span{}) {
		span = sim.Span{From: 0, To: r.End}
		if v.Press > 0 {
			span = closeUp(r, r.Presses[v.Press-1])
		}
	}
	if span.From > r.End {
		return sim.Span{}, fmt.Errorf("found a span from %s on, want a time before the log ends at %s", span.From.FineClock(), r.End.FineClock())
	}
	if span.From >= span.To && r.End > 0 {
		return sim.Span{}, fmt.Errorf("found a span from %s to %s, want one that ends after it begins", span.From.FineClock(), span.To.FineClock())
	}
	span.To = max(min(span.To, r.End), span.From+1)
	return span, nil
}

// closeUp returns the time of a press and its press window, with some room around
// it.
func closeUp(r *sim.Replay, p sim.Press) sim.Span {
	end := r.End
	if !p.Open() {
		end = p.Effect
	}
	end = max(end, p.Down+r.Rig.Camera.LongPress.High)
	room := (end-p.Down)/8 + 1
	return sim.Span{From: max(0, p.Down-room), To: end + room}
}

// Timing returns the chart of a replay with its findings: the lanes of package
// lanes, and the findings in words. trace has the channel's values over at least
// the span shown; nil leaves that lane out. Timing returns an error if the replay
// has no such press, the span is empty or after the log, or the contents do not
// fit the size.
func Timing(r *sim.Replay, findings []tell.Finding, trace *sim.Trace, view TimingView) (*Chart, error) {
	span, err := view.spanOf(r)
	if err != nil {
		return nil, err
	}
	picture := lanes.Of(r, findings, trace != nil)
	p := newPage(view.Look, view.Title, subtitle(r, view, span))
	p.about = fmt.Sprintf("Timing chart from %s to %s. %s", span.From.Clock(), span.To.Clock(), p.title)
	p.emblem = &emblem{lanes.StripOf(r.Rig.Camera)}
	listed, more := listMarks(picture.Marks, span)
	body := newStack(rowsOf(r, &picture, listed, trace, view), p.theme, span)
	found := body.layOut(p.inner())
	p.legend = found.legend()
	for _, m := range picture.Marks {
		if listed[m.Letter] {
			p.keyedNote(m.Letter, m.Text)
		}
	}
	if more > 0 {
		p.note(fmt.Sprintf("More findings, marked without a letter: %d.", more))
	}
	p.crowdNotes(found)
	return p.chart(body.natural(), body.natural()*0.7, body.draw)
}

// subtitle names the flight and the part or the press that is shown.
func subtitle(r *sim.Replay, view TimingView, span sim.Span) string {
	if view.Press == 0 {
		return fmt.Sprintf("%s · %s to %s", view.Name, span.From.Clock(), span.To.Clock())
	}
	p := r.Presses[view.Press-1]
	text := fmt.Sprintf("%s · press %d of %d, down at %s, %s: %s", view.Name, p.N, len(r.Presses), p.Down.Clock(), tell.HowHeld(p), p.Verdict)
	if bounds, ok := r.HandBounds(p); ok && !bounds.Exact() {
		text += "; by hand, from the samples: " + tell.ByHand(r, p)
	}
	return text
}

// maxListed is the most findings that a chart lists in words.
const maxListed = 12

// listMarks returns the letters of the findings in a span that the chart lists in
// words, and how many more there are. Those that cost footage take precedence.
func listMarks(marks []lanes.Mark, span sim.Span) (listed map[string]bool, more int) {
	listed = map[string]bool{}
	for _, costly := range []bool{true, false} {
		for _, m := range marks {
			switch {
			case m.Costs != costly || !overlaps(m.Span, span):
			case len(listed) < maxListed:
				listed[m.Letter] = true
			default:
				more++
			}
		}
	}
	return listed, more
}

func overlaps(a, b sim.Span) bool { return a.From <= b.To && a.To >= b.From }

// rowsOf returns the rows of a timing chart from the top.
func rowsOf(r *sim.Replay, picture *lanes.Picture, listed map[string]bool, trace *sim.Trace, view TimingView) []row {
	var rows []row
	for i := range picture.Lanes {
		l := &picture.Lanes[i]
		switch l.Kind {
		case lanes.Findings:
			rows = append(rows, markRow{l, picture.Marks, listed})
		case lanes.Bands:
			rows = append(rows, bandRow{l})
		case lanes.Flicks:
			rows = append(rows, flickRow{l})
			if view.Press > 0 {
				rows = append(rows, windowRow{r.Rig.Camera, r.Presses[view.Press-1], r.End})
			}
		case lanes.Chance:
			rows = append(rows, chanceRow{l, r.Belief})
		case lanes.Channel:
			rows = append(rows, channelRow{l, r.Rig.Switch, trace, lanes.ScaleOf(trace.Extremes())})
		case lanes.Levels:
			rows = append(rows, levelRow{l})
		}
	}
	return rows
}
