package export

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/rigcheck"
	"flicktally/sim/rigfile"
	"flicktally/sim/tell"
)

// The JSON of rig check. Durations are whole µs; omitted if there is none.
type jsonCheck struct {
	Schema   int              `json:"schema"`
	Rig      jsonRig          `json:"rig"`
	Findings []jsonRigFinding `json:"findings"`
	Figures  *jsonFigures     `json:"figures,omitempty"`
	Aim      *sim.Micros      `json:"aim_us,omitempty"`
	Zones    []jsonZone       `json:"zones"`
}

type jsonZone struct {
	From   sim.Micros  `json:"from_us"`
	To     *sim.Micros `json:"to_us,omitempty"`
	Effect sim.Effect  `json:"effect"`
}

type jsonRigFinding struct {
	Code    tell.Code       `json:"code"`
	Fault   bool            `json:"fault"`
	Text    string          `json:"text"`
	Why     string          `json:"why"`
	Remedy  string          `json:"remedy"`
	Changes [][]jsonSetting `json:"changes"`
}

type jsonSetting struct {
	Key    string `json:"key"`
	First  string `json:"from"`
	Second string `json:"to"`
}

type jsonFigures struct {
	HoldsFrom  *sim.Micros `json:"holds_from_us,omitempty"`
	HoldsTo    *sim.Micros `json:"holds_to_us,omitempty"` // included
	SingleMove bool        `json:"single_move"`
	Stop       *sim.Micros `json:"stop_us,omitempty"`
	Restart    *sim.Micros `json:"restart_us,omitempty"`
}

// RigCheck writes the report of a rig check as JSON.
func RigCheck(w io.Writer, rig sim.Rig, r rigcheck.Report) error {
	j := jsonCheck{Schema: schema, Rig: jsonRig{rig.Name}, Findings: each(r.Findings, toJSONRigFinding)}
	if aim, ok := rig.Aim(); ok {
		j.Aim = &aim
	}
	for _, z := range rig.Camera.Zones() {
		j.Zones = append(j.Zones, jsonZone{z.From, unlessNever(z.To), z.Effect})
	}
	if f := r.Figures; f != nil {
		j.Figures = &jsonFigures{SingleMove: f.SingleMove, Stop: unlessNever(f.Stop), Restart: unlessNever(f.Restart)}
		if f.Holds.Low <= f.Holds.High {
			j.Figures.HoldsFrom, j.Figures.HoldsTo = unlessNever(f.Holds.Low), unlessNever(f.Holds.High)
		}
	}
	return newJSON(w).Encode(j)
}

func toJSONRigFinding(f rigcheck.Finding) jsonRigFinding {
	changes := each(f.Changes, func(c rigcheck.Change) []jsonSetting {
		return each(c.Settings, func(s rigfile.Difference) jsonSetting { return jsonSetting(s) })
	})
	return jsonRigFinding{f.Code, f.Fault, f.Text, f.Why, f.Remedy, changes}
}
