package main

import (
	"fmt"
	"os"

	"github.com/spf13/pflag"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/bmff"
	"flicktally/sim/card"
	"flicktally/sim/card/folder"
	"flicktally/sim/flight"
	"flicktally/sim/lists"
	"flicktally/sim/problem"
)

// clipFlags are the flags for the clips on the camera's card.
type clipFlags struct {
	paths     []string
	clipError durationFlag
}

func (f *clipFlags) add(flags *pflag.FlagSet) {
	flags.StringArrayVar(&f.paths, "clips", nil, "the `folder` of the camera's card, a video file, or a list of clips (CSV; - is standard input); may be repeated")
	f.clipError = durationFlag(sim.Second)
	flags.Var(&f.clipError, "clip-error", "by how much a clip's duration, and the time between two starts, may be off")
}

// cardSeen is what was found on the camera's card: a list, or the files.
type cardSeen struct {
	list  []belief.Clip
	files *card.Card // nil where it was a list
}

// read returns what was found, nil where nothing was asked for.
func (a *app) readClips(f *clipFlags) (*cardSeen, error) {
	if len(f.paths) == 0 {
		return nil, nil
	}
	if len(f.paths) == 1 && f.paths[0] == "-" {
		return a.readClipList("-")
	}
	files, err := folder.Read(f.paths...)
	if err != nil {
		return nil, problem.CannotRead(fmt.Errorf("cannot read the clips: %w", err))
	}
	for _, path := range f.paths {
		a.files.ReadsAll(path)
		if info, err := os.Stat(path); err != nil || info.IsDir() || !isNoVideo(files, info.Name()) {
			continue
		}
		if len(f.paths) > 1 {
			return nil, problem.WrongUsage(fmt.Errorf("found %s among several --clips, want one list, or folders and video files", path))
		}
		return a.readClipList(path)
	}
	return &cardSeen{files: card.New(files)}, nil
}

func isNoVideo(files []card.File, name string) bool {
	for _, f := range files {
		if f.Name == name {
			return f.Err == bmff.ErrNoVideo
		}
	}
	return false
}

func (a *app) readClipList(path string) (*cardSeen, error) {
	file, err := a.openList(path)
	if err != nil {
		return nil, problem.CannotRead(fmt.Errorf("cannot read the clips: %w", err))
	}
	defer file.Close()
	list, err := lists.ReadClips(file, listName(path))
	if err != nil {
		return nil, problem.CannotRead(err)
	}
	return &cardSeen{list: list}, nil
}

// addTo adds the clips to what was seen of flights, in the light of what the
// flights were, and returns how the card was read, in lines for the person.
func (c *cardSeen) addTo(seen belief.Observations, flights []flight.Flight) (belief.Observations, []string) {
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
	c.files.Settle(takes, seen.ClipError)
	seen.Clips, seen.ClipError = c.files.Observed(), c.files.ClipError(seen.ClipError)
	return seen, c.files.Lines()
}
