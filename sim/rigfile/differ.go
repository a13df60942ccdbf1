package rigfile

import "flicktally/sim"

// Setting is a key of the rig file and its value as written there.
type Setting struct{ Key, Value string }

// Settings lists all keys with the values of a rig, in the order of the file.
func Settings(rig sim.Rig) []Setting {
	var all []Setting
	for _, f := range fields(&rig) {
		all = append(all, Setting{f.key, f.value.write()})
	}
	return all
}

// Difference is a key whose values differ between two rigs, as written in a rig
// file.
type Difference struct{ Key, First, Second string }

// Differences lists the keys whose values differ between two rigs, in the order
// of the file. The rigs' names are ignored.
func Differences(first, second sim.Rig) []Difference {
	var all []Difference
	others := fields(&second)
	for i, f := range fields(&first) {
		a, b := f.value.write(), others[i].value.write()
		if a != b && f.key != "name" {
			all = append(all, Difference{f.key, a, b})
		}
	}
	return all
}
