package lists

import (
	"io"
	"strconv"
	"strings"
	"time"

	"flicktally/sim"
	"flicktally/sim/belief"
)

var clipColumns = []column{
	{name: "duration", headers: []string{"length"}, required: true, isValue: func(f string) bool { _, ok := parseLength(f); return ok }},
	{name: "start"},
	{name: "name", headers: []string{"file", "clip"}},
}

const (
	wantDuration = `a duration in seconds, or such as "0:41", "1:02:03.5" or "41s"`
	wantStart    = `a time such as "14:03:22", "2026-06-14 14:03:22" or seconds`
)

// ReadClips reads a list of clips. An empty list is not an error, as the card may
// be empty. name is for errors; an error in the list is an [*excerpt.SyntaxError].
func ReadClips(r io.Reader, name string) ([]belief.Clip, error) {
	t, err := readTable(r, name, clipColumns)
	if err != nil {
		return nil, err
	}
	clips := []belief.Clip{}
	for _, row := range t.rows {
		clip := belief.Clip{Name: t.field(row, "name")}
		length, ok := parseLength(t.decimal(t.field(row, "duration")))
		if !ok {
			return nil, t.errorOf(row, "duration", wantDuration)
		}
		clip.Length = length
		if start := t.field(row, "start"); start != "" {
			if clip.Start, ok = parseStart(t.decimal(start)); !ok {
				return nil, t.errorOf(row, "start", wantStart)
			}
			clip.HasStart = true
			if !putInOrder(clips, &clip) {
				return nil, t.errorOf(row, "start", "the clips in the order of their starts")
			}
		}
		clips = append(clips, clip)
	}
	return clips, nil
}

// putInOrder moves the start of a clip to the next day if it is a time of day
// more than half a day before that of the last clip with a start. It reports
// whether the clip is then in order.
func putInOrder(before []belief.Clip, clip *belief.Clip) bool {
	const day = 24 * sim.Hour
	for i := len(before) - 1; i >= 0; i-- {
		if !before[i].HasStart {
			continue
		}
		last := before[i].Start
		if clip.Start < last && last < 2*day && last-clip.Start > day/2 {
			clip.Start += day
		}
		return clip.Start >= last
	}
	return true
}

// parseLength reads seconds, a clock's m:ss, or a duration with a unit.
func parseLength(text string) (sim.Micros, bool) {
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		text += "s"
	}
	m, err := sim.ParseClock(text)
	return m, err == nil
}

// parseStart reads a time of day with or without a date, or the time since some
// moment.
func parseStart(text string) (sim.Micros, bool) {
	if m, ok := parseLength(text); ok {
		return m, true
	}
	text, _ = strings.CutSuffix(strings.Replace(text, "T", " ", 1), "Z")
	at, err := time.Parse("2006-01-02 15:04:05", text)
	return sim.Micros(at.UnixMicro()), err == nil
}
