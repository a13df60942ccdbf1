package report

import (
	"fmt"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/rigfile"
	"flicktally/sim/tell"
)

// settingsTable lists the settings that affect a replay once the log is read.
// given has the keys in the rig file. A camera's defaults are examples, and the
// table reports whether it has any.
func settingsTable(rig sim.Rig, given map[string]bool) (t table, examples bool) {
	settings := slices.DeleteFunc(rigfile.Settings(rig), func(s rigfile.Setting) bool {
		table, _, _ := strings.Cut(s.Key, ".")
		return slices.Contains([]string{"name", "log", "link"}, table) || s.Key == "line.boot_for"
	})
	t = withRows(table{
		Class: "settings", What: "settings",
		Columns: []column{{"setting", asWords}, {"value", asWords}, {"from", asWords}},
	}, settings, func(s rigfile.Setting) tableRow {
		from := "default"
		switch {
		case given[s.Key]:
			from = "rig file"
		case strings.HasPrefix(s.Key, "camera."):
			from, examples = "example", true
		}
		return cells(headCell(s.Key), textCell(s.Value), textCell(from))
	})
	return t, examples
}

// modelRemarks says what the model assumes about the rig of a replay.
func modelRemarks(r *sim.Replay) []string {
	camera := r.Rig.Camera
	remarks := []string{
		sentence(fmt.Sprintf("%s on the %s of the button", tell.Toggles(r), camera.ToggleOn)) + " A shorter one does nothing.",
		"A longer one " + map[sim.Action]string{
			sim.ActionPowerOff: "switches the camera off.",
			sim.ActionNone:     "does nothing else.",
			sim.ActionUnknown:  "has an unknown effect: the camera’s state is unknown from then on.",
		}[camera.LongAction],
	}
	if !camera.MinPress.Exact() || !camera.LongPress.Exact() {
		remarks = append(remarks, fmt.Sprintf("These thresholds are known only as ranges: %s for the shortest press that toggles, %s for the long press. "+
			"Presses and takes are shown as in the likeliest case.", camera.MinPress.Rounded(), camera.LongPress.Rounded()))
	}
	if camera.Start == sim.StartUnknown {
		remarks = append(remarks, "It is not known what the camera was doing when the log started.")
	} else {
		remarks = append(remarks, fmt.Sprintf("The camera is assumed to be in the state %s when the log starts.", camera.Start))
	}
	return append(remarks,
		"A channel value holds until the next sample, so a move shows only at the first sample after it. “By hand” is the range of holds that the samples allow.",
		"The log was recorded after the radio link, so the link’s frames and losses are not modelled again.",
	)
}
