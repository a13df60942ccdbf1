package logs

import (
	"fmt"
	"os"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/bmff"
	"flicktally/sim/card"
	"flicktally/sim/card/folder"
	"flicktally/sim/files"
	"flicktally/sim/flight"
	"flicktally/sim/lists"
	"flicktally/sim/problem"
)

// Clips are the clips on the camera's card, from a list or from its files.
type Clips struct {
	list  []belief.Clip
	files *card.Card // nil if it was a list
}

// VideoClips returns the clips of a card from its files.
func VideoClips(files []card.File) *Clips { return &Clips{files: card.New(files)} }

// ListedClips returns the clips of a list.
func ListedClips(list []belief.Clip) *Clips { return &Clips{list: list} }

// Clips reads folders of a card and video files, or one list of clips. It returns
// nil if there are no paths.
func (r *Reader) Clips(paths []string) (*Clips, error) {
	if len(paths) == 0 {
		return nil, nil
	}
	if len(paths) == 1 && paths[0] == "-" {
		return r.ClipList("-")
	}
	var found []card.File
	for _, path := range paths {
		in, err := folder.Read(path)
		if err != nil {
			return nil, problem.CannotRead(fmt.Errorf("cannot read the clips: %w", err))
		}
		r.Desk.ReadsAll(path)
		info, err := os.Stat(path)
		switch isFile := err == nil && !info.IsDir(); {
		case !isFile || in[0].Err != bmff.ErrNoVideo:
			found = append(found, in...)
		case len(paths) > 1:
			return nil, problem.WrongUsage(fmt.Errorf("found %s among several --clips, want one list, or folders and video files", path))
		default:
			return r.ClipList(path)
		}
	}
	return VideoClips(found), nil
}

// ClipList reads a list of clips.
func (r *Reader) ClipList(path string) (*Clips, error) {
	file, _, err := r.Desk.Await(path)
	if err != nil {
		return nil, problem.CannotRead(fmt.Errorf("cannot read the clips: %w", err))
	}
	defer file.Close()
	list, err := lists.ReadClips(file, files.NameOf(path))
	if err != nil {
		return nil, problem.CannotRead(err)
	}
	return ListedClips(list), nil
}

// Observed returns the clips as observations of the flights, and lines for the
// user about how the card was read. The flights settle what the times of the
// clips mean.
func (c *Clips) Observed(flights []flight.Flight, clipError sim.Micros) (seen belief.Observations, lines []string) {
	seen = belief.Observations{ClipError: clipError}
	switch {
	case c == nil:
		return seen, nil
	case c.files == nil:
		seen.Clips = c.list
		return seen, nil
	}
	var takes [][]sim.Take
	for _, f := range flights {
		takes = append(takes, f.Replay.Takes)
	}
	c.files.Settle(takes, clipError)
	seen.Clips, seen.ClipError = c.files.Observed(), c.files.ClipError(clipError)
	return seen, c.files.Lines()
}
