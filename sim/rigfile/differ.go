package rigfile

import "flicktally/sim"

// Difference is a key that two rigs have different values for, as a rig file
// writes them.
type Difference struct{ Key, First, Second string }

// Differences lists the keys by which two rigs differ, in the order of the
// file; their names do not count.
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
