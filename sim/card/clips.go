package card

import (
	"cmp"
	"path"
	"slices"

	"flicktally/sim"
	"flicktally/sim/belief"
)

// clip is one unbroken recording.
type clip struct {
	belief.Clip
	Files []string // in order; more than one if the camera split it

	key      sim.Micros // sort key
	byHeader bool       // its start comes from a header
}

// joinWithin is how far apart two parts of a clip may be by their headers, which
// count whole seconds.
const joinWithin = sim.Second

// Observed returns the clips in order, for comparison with flights. A clip has the
// name of its first file, without the folder if that is unambiguous.
func (c *Card) Observed() []belief.Clip {
	clips := make([]belief.Clip, len(c.clips))
	for i, clip := range c.clips {
		clips[i] = clip.Clip
	}
	return clips
}

// ClipError returns the error of a clip's start, given the error that the user
// allows. It is larger if a start comes from the file system.
func (c *Card) ClipError(given sim.Micros) sim.Micros {
	if slices.ContainsFunc(c.clips, clip.byFileTime) {
		return max(given, fileTimeError)
	}
	return given
}

// byFileTime reports whether the start of a clip comes from the file system.
func (c clip) byFileTime() bool { return c.HasStart && !c.byHeader }

// settleOn makes the clips, given the meaning of the headers' times.
func (c *Card) settleOn(times times) {
	c.times = times
	c.shift, c.trusted = c.fileTimes(times)
	count := map[string]int{}
	for _, f := range c.videos {
		count[path.Base(f.Name)]++
	}
	clips := make([]clip, 0, len(c.videos))
	for _, f := range c.videos { // in order of their names
		name := f.Name
		if short := path.Base(name); count[short] == 1 {
			name = short
		}
		clips = append(clips, c.clipOf(f, name))
	}
	c.clips = join(inOrder(clips))
}

// clipOf makes a clip of a file.
func (c *Card) clipOf(f File, name string) clip {
	clip := clip{Files: []string{f.Name}}
	clip.Name, clip.Length, clip.NoLength = name, f.Header.Length, f.Header.Length == 0
	ended := f.Modified - c.shift
	switch {
	case f.Header.Created != 0 && c.times == headerBegin:
		clip.Start, clip.HasStart, clip.byHeader = f.Header.Created, true, true
	case f.Header.Created != 0 && !clip.NoLength:
		clip.Start, clip.HasStart, clip.byHeader = f.Header.Created-clip.Length, true, true
	case f.Header.Created != 0:
		clip.key = f.Header.Created
		return clip
	case !c.trusted:
		clip.key = noKey
		return clip
	case clip.NoLength:
		clip.key = ended
		return clip
	default:
		clip.Start, clip.HasStart = ended-clip.Length, true
	}
	clip.key = clip.Start
	return clip
}

// noKey marks a clip of unknown time: it keeps its place by name.
const noKey = -1 << 62

// inOrder sorts clips by time. One without a time follows the clip before it by
// name.
func inOrder(clips []clip) []clip {
	for i := range clips {
		if clips[i].key == noKey && i > 0 {
			clips[i].key = clips[i-1].key
		}
	}
	slices.SortStableFunc(clips, func(a, b clip) int { return cmp.Compare(a.key, b.key) })
	return clips
}

// join joins the parts of a clip that the camera split.
func join(clips []clip) []clip {
	joined := clips[:0]
	for _, next := range clips {
		if n := len(joined); n > 0 && follows(joined[n-1], next) {
			whole := &joined[n-1]
			if whole.Parts == nil {
				whole.Parts = []belief.Part{{Name: whole.Name, Length: whole.Length}}
			}
			whole.Parts = append(whole.Parts, belief.Part{Name: next.Name, Length: next.Length})
			whole.Length += next.Length
			whole.NoLength = next.NoLength
			whole.Files = append(whole.Files, next.Files...)
			continue
		}
		joined = append(joined, next)
	}
	return joined
}

// follows reports whether a clip starts, by its header, where another ends.
func follows(before, next clip) bool {
	if !before.byHeader || !next.byHeader || before.NoLength {
		return false
	}
	gap := next.Start - (before.Start + before.Length)
	return gap >= -joinWithin && gap <= joinWithin
}
