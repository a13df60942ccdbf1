package rigfile

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"flicktally/sim"
)

// File is a rig file that was read. Without a file it is File{Rig:
// sim.DefaultRig()}.
type File struct {
	Rig   sim.Rig
	Given map[string]bool // the keys that the file sets: "camera.min_press"
	// Measured are the keys that the remark beside [camera] calls measured; see
	// [EditMeasured].
	Measured []string
}

// Parse reads a rig file; name stands for it in errors. Missing keys have the
// values of [sim.DefaultRig]. The error is of type [Errors]. A file is refused
// if it is not TOML in UTF-8, is larger than 64 KiB, has an unknown key or
// value, or describes a rig that cannot work ([sim.Rig.Faults]).
func Parse(data []byte, name string) (File, error) { return parseOnto(sim.DefaultRig(), data, name) }

// parseOnto reads a rig file that changes another rig: missing keys have the
// values of base, which must be valid.
func parseOnto(base sim.Rig, data []byte, name string) (File, error) {
	src, wrong := newSource(data, name)
	if wrong != nil {
		return File{}, Errors{src.error(wrong)}
	}
	doc, wrong := newDocument(src)
	if wrong != nil {
		return File{}, Errors{src.error(wrong)}
	}
	r := &reader{doc: doc, rig: base, given: map[string]bool{}, failed: map[string]bool{}}
	r.schema = fields(&r.rig)
	r.readTable("", doc.root)
	r.judge()
	if len(r.faults) == 0 {
		return File{r.rig, r.given, remarked(data)}, nil
	}
	slices.SortStableFunc(r.faults, func(a, b *fault) int { return cmp.Compare(a.offset, b.offset) })
	var errs Errors
	for _, f := range r.faults {
		errs = append(errs, src.error(f))
	}
	return File{}, errs
}

// reader builds a rig from a document and collects the faults.
type reader struct {
	doc    *document
	rig    sim.Rig
	schema schema // bound to rig
	given  map[string]bool
	faults []*fault
	failed map[string]bool // tables with an error
}

// readTable reads the keys of a table, or with table "" the whole document.
func (r *reader) readTable(table string, keys map[string]any) {
	for _, part := range slices.Sorted(maps.Keys(keys)) {
		path := keyPath(table, part)
		v := value{path, keys[part]}
		inner, isTable := v.data.(map[string]any)
		switch {
		case table != "" || !r.schema.isTable(path):
			r.readKey(table, path, v)
		case isTable:
			r.readTable(path, inner)
		default:
			r.fail(path, v.unlike("a table, ["+path+"]"))
		}
	}
}

// readKey reads the value of the key at path, which belongs to the table.
func (r *reader) readKey(table, path string, v value) {
	f, known := r.schema.find(path)
	if !known {
		r.failUnknown(table, path)
		return
	}
	r.given[path] = true
	if wrong := f.value.read(v); wrong != nil {
		r.fail(path, wrong)
	}
}

// fail records a fault of a key's value.
func (r *reader) fail(key string, wrong *fault) {
	r.failed[tableOf(key)] = true
	wrong.key, wrong.offset = key, r.doc.places[wrong.path].start
	r.faults = append(r.faults, wrong)
}

// failUnknown records a key that the rig file does not have.
func (r *reader) failUnknown(table, path string) {
	r.failed[table] = true
	name, names := strings.TrimPrefix(path, table+"."), r.schema.names(table)
	wrong := &fault{offset: r.doc.places[path].key, key: path, text: "unknown key, want one of " + strings.Join(names, ", ")}
	switch home, only := r.schema.home(name); {
	case !only || home == table:
		wrong.hint = didYouMean(name, names)
	case home == "":
		wrong.hint = name + " belongs at the top, above all tables"
	default:
		wrong.hint = name + " belongs in [" + home + "]"
	}
	r.faults = append(r.faults, wrong)
}

// judge records why the rig cannot work. It skips a table that already has an
// error, as its other faults may follow from that.
func (r *reader) judge() {
	for _, found := range r.rig.Faults() {
		table := tableOf(found.Key)
		if r.failed[table] {
			continue
		}
		wrong := &fault{key: found.Key, text: found.Text}
		at, given := r.doc.places[found.Key]
		if !given {
			at = r.doc.places[table]
			wrong.hint = found.Key + " is not in the file, so its default applies"
		}
		wrong.offset = at.start
		r.faults = append(r.faults, wrong)
	}
}
