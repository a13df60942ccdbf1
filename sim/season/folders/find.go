// Package folders reads the flights of a season from folders: logs, and the
// observations of the camera beside them. It caches the results and writes nothing
// else.
//
// A folder with logs in it is an outing: its logs share the observations. These
// are
//
//   - video files (ISO/IEC 14496-12) in the folder, and in subfolders without
//     logs: a camera's card, or a copy of one,
//   - a list of clips: a CSV file with the header duration; one with the name of
//     a log and -clips after it belongs to that log alone,
//   - seen.txt: glances at the light, one per line, such as 0:12.5=recording, or
//     sunday.csv@0:12.5=recording if there are several logs,
//   - flight.toml, which may set rig, clips, seen and note; it is never required,
//   - bench trials: a CSV file with the headers hold and outcome.
package folders

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"flicktally/sim/bmff"
	"flicktally/sim/card"
	"flicktally/sim/card/folder"
	"flicktally/sim/files"
	"flicktally/sim/season"
)

// Log is a log that was found.
type Log struct {
	Path  string
	Size  int64
	Saved time.Time // when the file was last written
}

// Outing is a folder with logs, and the files beside them.
type Outing struct {
	Folder string
	Logs   []Log
	Videos []card.File
	Lists  []string // of clips
	Seen   []string // glances at the light, as read by [belief.ParseGlance], with or without LOG@
	Rig    string   // rig file; "" means the season's
	Note   string
	among  []string // the logs of the folder: a glance names one of them
	beside []Log    // the other files that were read
	videos []string // the files of Videos
}

// files returns the names of the outing's files and of its rig.
func (o *Outing) files() []string {
	names := []string{o.Rig}
	for _, file := range slices.Concat(o.Logs, o.beside) {
		names = append(names, file.Path)
	}
	return names
}

// Season is what was found.
type Season struct {
	Outings []Outing
	Trials  []Log // lists of bench trials
	LeftOut []season.LeftOut
}

// mostFiles limits the files of a season: more would be a whole disk.
const mostFiles = 200_000

// Find searches folders to any depth. It follows links to the named folders, and no
// others. A folder that is named twice, by any names, counts once. A file that
// cannot be read is left out, with the reason. It is an error if one of the named
// folders cannot be read.
func Find(roots ...string) (*Season, error) {
	f := finder{folders: map[string]*Outing{}, walked: map[string]bool{}}
	for _, root := range roots {
		if info, err := files.Stat(root); err != nil {
			return nil, err
		} else if !info.IsDir() {
			return nil, fmt.Errorf("%s is no folder, want the folder of some flights", root)
		}
		f.root = filepath.Clean(root)
		if err := filepath.WalkDir(f.root+string(filepath.Separator), f.visit); err != nil { // with a separator, a link is followed
			return nil, err
		}
	}
	f.assignVideos()
	for _, path := range f.order {
		if o := f.folders[path]; len(o.Logs) > 0 {
			f.found.Outings = append(f.found.Outings, f.split(o)...)
		} else {
			f.leaveOut(o)
		}
	}
	return &f.found, nil
}

type finder struct {
	found   Season
	root    string // the named folder that is searched
	folders map[string]*Outing
	walked  map[string]bool // the folders by their real names
	order   []string
	files   int
}

// leave leaves out a file.
func (f *finder) leave(path, why string) {
	f.found.LeftOut = append(f.found.LeftOut, season.LeftOut{File: filepath.ToSlash(path), Why: why})
}

// visit is the callback of the walk through the folders.
func (f *finder) visit(path string, entry fs.DirEntry, err error) error {
	path = filepath.Clean(path)
	switch {
	case err != nil && path == f.root:
		return err
	case err != nil:
		f.leave(path, reason(err))
		return nil
	case entry.IsDir() && strings.HasPrefix(entry.Name(), ".") && path != f.root:
		return fs.SkipDir
	case entry.IsDir():
		name := realName(path)
		if f.walked[name] {
			return fs.SkipDir
		}
		f.walked[name], f.folders[path] = true, &Outing{Folder: path}
		f.order = append(f.order, path)
		return nil
	case strings.HasPrefix(entry.Name(), "."):
		return nil
	case !entry.Type().IsRegular():
		f.leave(path, "it is no plain file")
		return nil
	}
	if f.files++; f.files > mostFiles {
		return fmt.Errorf("found more than %d files, want the folder of some flights", mostFiles)
	}
	info, err := entry.Info()
	if err != nil {
		f.leave(path, reason(err))
		return nil
	}
	f.classify(path, f.folders[filepath.Dir(path)], info)
	return nil
}

// realName returns the absolute name of a folder without links, or the given name if
// that cannot be determined.
func realName(path string) string {
	name, err := filepath.EvalSymlinks(path)
	if err == nil {
		name, err = filepath.Abs(name)
	}
	if err != nil {
		return path
	}
	return name
}

// classify adds a file to its outing, or leaves it out.
func (f *finder) classify(path string, o *Outing, info fs.FileInfo) {
	file := Log{path, info.Size(), info.ModTime()}
	switch name := strings.ToLower(filepath.Base(path)); {
	case name == "flight.toml":
		o.beside = append(o.beside, file)
		if err := o.applySettings(path); err != nil {
			f.leave(path, err.Error())
		}
		return
	case name == "seen.txt":
		o.beside = append(o.beside, file)
		if err := o.readGlances(path); err != nil {
			f.leave(path, err.Error())
		}
		return
	case filepath.Ext(name) == ".toml":
		return // a rig file belongs beside its flights
	case slices.Contains(results, filepath.Ext(name)):
		f.leave(path, "no log: a result, or a text")
		return
	case info.Size() == 0:
		f.leave(path, "it is empty")
		return
	}
	if videos, err := folder.Read(path); err == nil && !errors.Is(videos[0].Err, bmff.ErrNoVideo) {
		o.Videos = append(o.Videos, videos...)
		o.videos = append(o.videos, path)
		o.beside = append(o.beside, file)
		return
	}
	header, err := beginning(path)
	switch {
	case err != nil:
		f.leave(path, reason(err))
	case header.has("duration"):
		o.addList(path)
		o.beside = append(o.beside, file)
	case header.has("outcome") && (header.has("hold") || header.has("hold_ms")):
		f.found.Trials = append(f.found.Trials, file)
	default:
		o.Logs = append(o.Logs, file)
	}
}

// results lists the extensions of files that the program itself writes beside
// flights, and of texts.
var results = []string{".png", ".svg", ".pdf", ".html", ".json", ".jsonl", ".md", ".txt", ".vtt", ".edl"}

// header is the first line of a table, in lower case.
type header []string

func (h header) has(column string) bool { return slices.Contains(h, column) }

// beginning reads the header of a table: the first line that is neither empty
// nor a comment.
func beginning(path string) (header, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	lines := bufio.NewScanner(file)
	lines.Buffer(make([]byte, 4096), 4096)
	for lines.Scan() {
		line := strings.TrimSpace(strings.TrimPrefix(lines.Text(), "\ufeff"))
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		var h header
		for field := range strings.FieldsFuncSeq(line, func(r rune) bool { return strings.ContainsRune(",;\t", r) }) {
			h = append(h, strings.ToLower(strings.Trim(field, ` "`)))
		}
		return h, nil
	}
	return nil, nil // a line that long, or bytes that are not text: not a list
}

// assignVideos assigns the videos of folders without logs to the nearest folder
// above that has logs.
func (f *finder) assignVideos() {
	for _, path := range f.order {
		o := f.folders[path]
		if len(o.Logs) > 0 || len(o.Videos) == 0 {
			continue
		}
		for up := filepath.Dir(path); ; up = filepath.Dir(up) {
			owner, there := f.folders[up]
			if !there {
				break
			}
			if len(owner.Logs) > 0 {
				owner.Videos = append(owner.Videos, o.Videos...)
				owner.videos = append(owner.videos, o.videos...)
				owner.beside = append(owner.beside, o.beside...)
				o.Videos, o.videos, o.beside = nil, nil, nil
				break
			}
		}
	}
}

// leaveOut leaves out the files of a folder without logs.
func (f *finder) leaveOut(o *Outing) {
	for _, file := range o.beside {
		f.leave(file.Path, "there is no log in or above its folder")
	}
}

// split makes separate outings of logs that have a list of clips of their own.
func (f *finder) split(o *Outing) []Outing {
	for _, log := range o.Logs {
		o.among = append(o.among, log.Path)
	}
	shared := *o
	shared.Logs, shared.Lists = nil, nil
	lists := slices.Clone(o.Lists)
	var all []Outing
	for _, log := range o.Logs {
		own := slices.IndexFunc(lists, func(list string) bool { return stem(list) == stem(log.Path)+"-clips" })
		if own < 0 {
			shared.Logs = append(shared.Logs, log)
			continue
		}
		all = append(all, Outing{Folder: o.Folder, Logs: []Log{log}, Lists: []string{lists[own]}, Seen: o.Seen, Rig: o.Rig, Note: o.Note, among: o.among, beside: o.beside})
		lists = slices.Delete(lists, own, own+1)
	}
	switch {
	case len(shared.Logs) == 0:
		f.leaveAll(slices.Concat(lists, o.videos), "each log in its folder has a list of clips of its own")
		return all
	case len(lists) > 0:
		f.leaveAll(lists[1:], "another list of clips lies beside the same logs")
		f.leaveAll(o.videos, "a list of clips lies beside the same logs")
		shared.Lists, shared.Videos = lists[:1], nil
	}
	return append(all, shared)
}

func (f *finder) leaveAll(paths []string, why string) {
	for _, path := range paths {
		f.leave(path, why)
	}
}

// addList adds a list of clips, which flight.toml may name as well.
func (o *Outing) addList(path string) {
	if !slices.Contains(o.Lists, path) {
		o.Lists = append(o.Lists, path)
	}
}

// stem returns the name of a file without folder and extensions.
func stem(path string) string {
	name := filepath.Base(path)
	name = strings.TrimSuffix(name, ".gz")
	return strings.TrimSuffix(name, filepath.Ext(name))
}

// reason returns an error's text without the path, which is reported beside it.
func reason(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	return err.Error()
}
