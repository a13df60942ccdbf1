package sim

import "errors"

// RestAndPress returns two positions of the rig's switch: one that releases the
// button and one that presses it. It is an error if every valid value presses.
func (r Rig) RestAndPress() (rest, press PulseWidth, err error) {
	spec := r.Switch
	first := spec.Press[0]
	press = (max(first.Low, spec.Valid.Low) + min(first.High, spec.Valid.High)) / 2
	candidates := []PulseWidth{1000, 2000, 1500, spec.Valid.Low, spec.Valid.High}
	for _, pressed := range spec.Press {
		candidates = append(candidates, pressed.Low-spec.Hysteresis-1) // a gap above the last range contains Valid.High
	}
	for _, rest := range candidates {
		if spec.IsValid(rest) && r.releases(press, rest) {
			return rest, press, nil
		}
	}
	return 0, 0, errors.New("switch.press: no position of the switch releases the button, want part of switch.valid outside the press ranges")
}

// releases reports whether moving the switch from press to rest is a release.
func (r Rig) releases(press, rest PulseWidth) bool {
	s := NewSelector(r.Switch, r.SignalLoss)
	s.Step(0, press)
	s.Step(1, rest)
	return !s.Pressed()
}
