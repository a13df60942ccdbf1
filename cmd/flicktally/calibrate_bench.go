package main

import (
	"bytes"

	"flicktally/sim/files"
	"flicktally/sim/fit"
	"flicktally/sim/fit/trials"
	"flicktally/sim/lists"
	"flicktally/sim/tell"
)

// benchTrials runs trials until the thresholds are known or the user stops, and
// returns all of them.
func (a *app) benchTrials(known []fit.Trial, path string, f *calibrateFlags) ([]fit.Trial, error) {
	b := &trials.Run{
		Options: f.options(), Goal: f.goal, Trials: known,
		Answers: a.in, Prompts: a.talk.err, Note: a.talk.note,
		Keep: func(trials []fit.Trial) error {
			if path == "" {
				return nil
			}
			var list bytes.Buffer
			if err := lists.WriteTrials(&list, trials); err != nil {
				return err
			}
			return files.Edit(path, list.Bytes())
		},
	}
	meter, err := a.openHoldMeter(f)
	if err != nil {
		return nil, err
	}
	if meter != nil {
		defer meter.Close()
		b.Measure = meter.Measure
	}
	a.talk.note("Props off, the craft tied down, the camera not too hot. Local rules and the makers'\ninstructions come first.")
	if path == "" {
		a.talk.note("These trials are not saved. To save them: flicktally calibrate --bench trials.csv")
	} else if len(known) > 0 {
		a.talk.note("%s from %s", tell.Counted(len(known), "trial", "trials"), path)
	}
	return b.Guide()
}
