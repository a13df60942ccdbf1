package history

import (
	"slices"
	"time"

	"flicktally/sim/excerpt"
	"flicktally/trainer"
)

// Profile is the practice on one rig with one device. Skill with one says little about
// another.
type Profile struct {
	RigHash, Device string
	RigName         string   // the latest name of the rig
	Drills          []*Drill // in order of time
}

// Title names the rig and the device.
func (p Profile) Title() string {
	name := excerpt.Printable(p.RigName)
	if name == "" {
		name = "A rig without a name"
	}
	return name + ", with " + excerpt.Printable(p.Device)
}

// Profiles returns all profiles, in order of their latest practice. It leaves out
// empty drills.
func (h *History) Profiles() []Profile {
	var all []Profile
	for _, d := range h.Drills {
		if d.empty() {
			continue
		}
		p := Profile{RigHash: d.RigHash, Device: d.Device}
		if i := slices.IndexFunc(all, p.same); i >= 0 {
			p = all[i]
			all = slices.Delete(all, i, i+1)
		}
		p.RigName = d.RigName
		p.Drills = append(p.Drills, d)
		all = append(all, p)
	}
	return all
}

// empty reports whether the drill has no flick and no trial.
func (d *Drill) empty() bool { return len(d.Flicks)+len(d.Results) == 0 }

func (p Profile) same(q Profile) bool { return p.RigHash == q.RigHash && p.Device == q.Device }

// Profile returns the profile of a rig and a device. Without practice it has no
// drills.
func (h *History) Profile(rigHash, device string) Profile {
	wanted := Profile{RigHash: rigHash, Device: device}
	all := h.Profiles()
	if i := slices.IndexFunc(all, wanted.same); i >= 0 {
		return all[i]
	}
	return wanted
}

// Past returns the results so far, as of a time.
func (p Profile) Past(now time.Time) trainer.Past {
	past := trainer.NewPast(now)
	for _, d := range p.Drills {
		for _, r := range d.Results {
			past.AddAt(d.Began, r)
		}
	}
	return past
}

// Last returns the latest drill of a kind with at least one trial; nil without one.
func (p Profile) Last(kind trainer.Kind) *Drill {
	for _, d := range slices.Backward(p.Drills) {
		if d.Kind == kind && len(d.Results) > 0 {
			return d
		}
	}
	return nil
}

// Practised returns the drills, with their times in a time zone.
func (p Profile) Practised(place *time.Location) []trainer.Practised {
	var all []trainer.Practised
	for _, d := range p.Drills {
		practised := d.Practised
		practised.Began = practised.Began.In(place)
		all = append(all, practised)
	}
	return all
}
