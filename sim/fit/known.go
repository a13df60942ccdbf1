package fit

import "flicktally/sim"

// Known is a threshold with its range for a rig file.
type Known struct {
	Name  ThresholdName
	Range sim.Interval
}

// PutInto sets the threshold of a camera.
func (k Known) PutInto(camera *sim.CameraSpec) {
	if k.Name == NameMinPress {
		camera.MinPress = k.Range
	} else {
		camera.LongPress = k.Range
	}
}

// ForRig returns the thresholds that the trials bound, and errors that say why
// the others have no range.
func (w Window) ForRig() (known []Known, missing []error) {
	for _, t := range []Threshold{w.MinPress, w.LongPress} {
		if r, err := t.ForRig(); err != nil {
			missing = append(missing, err)
		} else {
			known = append(known, Known{t.Name, r})
		}
	}
	return known, missing
}
