package history

import (
	"time"

	"flicktally/sim"
	"flicktally/sim/stat"
	"flicktally/trainer"
)

// Notebook is a journal, used for practice on one rig with one device.
type Notebook struct {
	journal *Journal
	rig     sim.Rig
	context Context
	now     func() time.Time
}

// NewNotebook returns the notebook for a rig and a device. now returns the time in the
// pilot's calendar.
func NewNotebook(j *Journal, rig sim.Rig, device, version string, now func() time.Time) *Notebook {
	return &Notebook{j, rig, Context{Device: device, RigName: rig.Name, RigHash: RigHash(rig), Version: version}, now}
}

// Known returns what the journal says about the pilot.
func (n *Notebook) Known() (trainer.Known, error) {
	h, err := n.journal.ReadBrief()
	if err != nil {
		return trainer.Known{}, err
	}
	h.Recognise(n.rig)
	p := h.Profile(n.context.RigHash, n.context.Device)
	now := n.now()
	known := trainer.Known{Past: p.Past(now), Practised: !h.ColdAt(now), Last: map[trainer.Kind]trainer.Score{}}
	for _, k := range trainer.Kinds {
		if d := p.Last(k); d != nil {
			known.Last[k] = trainer.NewScore(d.Flicks, d.Results)
		}
	}
	known.FirstFlicks, known.Days = p.firstFlicks(), p.days(now)
	for _, d := range h.Drills {
		if d.Device == n.context.Device {
			known.Resolution = d.Resolution
		}
	}
	return known, nil
}

// days returns the days of practice up to a time.
func (p Profile) days(now time.Time) trainer.Days {
	var days trainer.Days
	var latest time.Time
	today := trainer.Day(now)
	for _, d := range p.Drills {
		if len(d.Results) == 0 {
			continue
		}
		day := trainer.Day(d.Began.In(now.Location()))
		switch {
		case day.Equal(today):
			days.Today = append(days.Today, d.Kind)
		case day.Before(today) && !day.Equal(latest):
			days.Before, latest = days.Before+1, day
		}
	}
	return days
}

// firstFlicks counts the first flicks of days that toggled.
func (p Profile) firstFlicks() (rate stat.Rate) {
	for _, d := range p.Drills {
		for _, f := range d.Flicks {
			if f.Cold {
				rate = rate.Plus(trainer.NewScore([]trainer.Flick{f}, nil).Cold)
			}
		}
	}
	return rate
}

// Begin writes the start of a drill now. keep writes what is new in the drill; call it
// after every call of the drill.
func (n *Notebook) Begin(d *trainer.Drill) (keep func() error, err error) {
	c := n.context
	c.Resolution = d.Setup().Resolution
	return n.journal.Begin(d, c, n.now())
}
