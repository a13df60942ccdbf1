package rigfile

import (
	"slices"
	"strings"

	"flicktally/sim"
)

// field is one key of the rig file and the place of its value in a rig.
type field struct {
	key   string // "camera.min_press"; without a dot outside all tables
	value codec
}

// table returns the field's table, "" outside all tables.
func (f field) table() string { return tableOf(f.key) }

// name returns the key as it is written inside its table.
func (f field) name() string { return f.key[strings.LastIndexByte(f.key, '.')+1:] }

// tableOf returns the table of a key: "camera" of "camera.min_press".
func tableOf(key string) string {
	table, _, dotted := strings.Cut(key, ".")
	if !dotted {
		return ""
	}
	return table
}

// fields lists every key of the rig file, in the order of the file, bound to
// the values of rig.
func fields(rig *sim.Rig) schema {
	log, sw, loss, link := &rig.Log, &rig.Switch, &rig.SignalLoss, &rig.Link
	shot, line, camera, doubt := &rig.OneShot, &rig.Line, &rig.Camera, &rig.Doubt
	return schema{
		{"name", text(&rig.Name)},

		{"log.time", text(&log.Time)},
		{"log.unit", choice(&log.Unit, sim.TimeUnits)},
		{"log.channel", text(&log.Channel)},
		{"log.scale", logScale(log)},
		{"log.offset", number(&log.Offset)},
		{"log.armed", text(&log.Armed)},
		{"log.armed_range", pulseRanges(&log.ArmedRange)},
		{"log.words", texts(&log.Words)},
		{"log.armed_words", texts(&log.ArmedWords)},
		{"log.failsafe", text(&log.Failsafe)},
		{"log.failsafe_range", pulseRanges(&log.FailsafeRange)},
		{"log.failsafe_words", texts(&log.FailsafeWords)},

		{"switch.press", pulseRanges(&sw.Press)},
		{"switch.hysteresis", number(&sw.Hysteresis)},
		{"switch.settle", duration(&sw.Settle)},
		{"switch.valid", pulseRange(&sw.Valid)},

		{"signal_loss.stale_after", duration(&loss.StaleAfter)},
		{"signal_loss.then", choice(&loss.Then, sim.LossPolicies)},

		{"link.frame", duration(&link.Frame)},
		{"link.loss", number(&link.Loss)},

		{"oneshot.trigger", choice(&shot.Trigger, sim.Triggers)},
		{"oneshot.width", duration(&shot.Width)},
		{"oneshot.rest", duration(&shot.Rest)},

		{"line.active", choice(&line.Active, sim.Polarities)},
		{"line.update", duration(&line.Update)},
		{"line.delay", duration(&line.Delay)},
		{"line.boot", choice(&line.Boot, sim.BootLevels)},
		{"line.through", choice(&line.Through, sim.Couplings)},
		{"line.boot_for", duration(&line.BootFor)},

		{"camera.pressed_level", choice(&camera.PressedLevel, sim.Polarities)},
		{"camera.min_press", interval(&camera.MinPress)},
		{"camera.min_gap", duration(&camera.MinGap)},
		{"camera.long_press", interval(&camera.LongPress)},
		{"camera.toggle_on", choice(&camera.ToggleOn, sim.ToggleEdges)},
		{"camera.long_action", choice(&camera.LongAction, sim.Actions)},
		{"camera.long_fires", choice(&camera.LongFires, sim.LongMoments)},
		{"camera.start_delay", duration(&camera.StartDelay)},
		{"camera.stop_delay", duration(&camera.StopDelay)},
		{"camera.boot", duration(&camera.Boot)},
		{"camera.wake_press", optionalDuration(&camera.WakePress)},
		{"camera.wake_into", choice(&camera.WakeInto, sim.WakeStates)},
		{"camera.start", choice(&camera.Start, sim.StartStates)},
		{"camera.auto_off", optionalDuration(&camera.AutoOff)},
		{"camera.double_within", duration(&camera.DoubleWithin)},
		{"camera.double_action", choice(&camera.DoubleAction, sim.Actions)},

		{"doubt.sampled", yesNo(&doubt.Sampled)},
		{"doubt.ignored", number(&doubt.Ignored)},
		{"doubt.misread", number(&doubt.Misread)},
		{"doubt.unlisted", number(&doubt.Unlisted)},
		{"doubt.foreign", number(&doubt.Foreign)},
	}
}

// schema lists what the file may contain.
type schema []field

// find returns the field of a key.
func (s schema) find(key string) (field, bool) {
	i := slices.IndexFunc(s, func(f field) bool { return f.key == key })
	if i < 0 {
		return field{}, false
	}
	return s[i], true
}

// names returns the keys of a table, in file order. The table "" also contains
// the tables themselves.
func (s schema) names(table string) []string {
	var names []string
	for _, f := range s {
		switch {
		case f.table() == table:
			names = append(names, f.name())
		case table == "" && !slices.Contains(names, f.table()):
			names = append(names, f.table())
		}
	}
	return names
}

// isTable reports whether name is a table of the rig file.
func (s schema) isTable(name string) bool {
	return name != "" && slices.ContainsFunc(s, func(f field) bool { return f.table() == name })
}

// home returns the table that has a key of this name, and whether only one has.
func (s schema) home(name string) (table string, only bool) {
	for _, f := range s {
		if f.name() != name {
			continue
		}
		if only {
			return "", false
		}
		table, only = f.table(), true
	}
	return table, only
}
