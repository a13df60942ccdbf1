// Package flight replays a log in one pass, for any number of rigs, and holds the
// results. Typical use:
//
//	flights, err := flight.Read(src, name, rig, flight.Options{})
//	err = flight.Judge(flights, tell.DefaultLimits(), seen)
//
// Each segment of a log is a [Flight] of its own. Every view shows flights and
// computes nothing of the model.
package flight

import (
	"fmt"
	"path/filepath"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/excerpt"
	"flicktally/sim/tell"
)

// Flight is one segment of a log, replayed.
type Flight struct {
	File     string      // as named by the user; "-" is standard input
	Segment  int         // from 1
	Segments int         // of the file
	Label    string      // the name in charts and screens; "" = that of the file, see [Flight.Name]
	Reading  sim.Reading // how the whole file was read
	Replay   *sim.Replay
	Trace    *sim.Trace     // the channel; nil unless [Options.TraceBins] asks for it
	Findings []tell.Finding // in order of time
	Known    *belief.Result // what is known, given the observations; nil before [Judge]
	Seen     []belief.Glance
	Clips    []belief.Clip // observed clips
	Card     []string      // how the card was read, in lines for the user
}

// Log names the log and its segment, as named by the user.
func (f *Flight) Log() string {
	log := excerpt.Printable(f.File)
	if f.Segments > 1 {
		log += fmt.Sprintf(" (segment %d of %d)", f.Segment, f.Segments)
	}
	return log
}

// Name returns the name in charts and screens: the label, or the file without
// its folder.
func (f *Flight) Name() string {
	if f.Label != "" {
		return f.Label
	}
	return f.Named(BaseName(f.File))
}

// Named returns the flight's name if its file goes by a certain name: that name
// and the segment.
func (f *Flight) Named(file string) string {
	name := excerpt.Printable(file)
	if f.Segments > 1 {
		name += fmt.Sprintf(", segment %d of %d", f.Segment, f.Segments)
	}
	return name
}

// FileNames returns the name of each flight's file for a chart or a list: without
// its folder, or with it if another file has the same name.
func FileNames(flights []Flight) []string {
	first, shared := map[string]string{}, map[string]bool{}
	for _, f := range flights {
		base := BaseName(f.File)
		if other, seen := first[base]; seen && other != f.File {
			shared[base] = true
		}
		first[base] = f.File
	}
	names := make([]string, len(flights))
	for i, f := range flights {
		names[i] = BaseName(f.File)
		if shared[names[i]] {
			names[i] = filepath.Base(filepath.Dir(f.File)) + "/" + names[i]
		}
	}
	return names
}

// BaseName names a log without its folder.
func BaseName(file string) string {
	if file == "-" {
		return "standard input"
	}
	return filepath.Base(file)
}

// KnownLines says what is not known of the flight.
func (f *Flight) KnownLines() []belief.Line {
	if f.Known == nil {
		return nil
	}
	return f.Known.Lines()
}

// ClipRows pairs the card's clips with takes.
func (f *Flight) ClipRows() []belief.ClipRow {
	if f.Known == nil {
		return nil
	}
	return f.Known.ClipRows(f.Clips)
}
