package export

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/rigcheck"
	"flicktally/sim/rigfile"
	"flicktally/sim/tell"
)

// jsonCheck is the JSON of rig check. Durations are whole µs, left out if there is none.
type jsonCheck struct {
	Schema   int              `json:"schema"`
	Rig      jsonRig          `json:"rig"`
	Findings []jsonRigFinding `json:"findings"`
	Figures  *jsonFigures     `json:"figures,omitempty"`
	Aim      optional         `json:"aim_us,omitzero"`
	Zones    []jsonZone       `json:"zones"`
}

type jsonZone struct {
	From   sim.Micros `json:"from_us"`
	To     optional   `json:"to_us,omitzero"`
	Effect sim.Effect `json:"effect"`
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
	HoldsFrom  optional `json:"holds_from_us,omitzero"`
	HoldsTo    optional `json:"holds_to_us,omitzero"` // included
	SingleMove bool     `json:"single_move"`
	Stop       optional `json:"stop_us,omitzero"`
	Restart    optional `json:"restart_us,omitzero"`
}

// RigCheck writes the report of a rig check as JSON.
func RigCheck(w io.Writer, rig sim.Rig, r rigcheck.Report) error {
	j := jsonCheck{
		Schema: schema, Rig: jsonRig{rig.Name}, Findings: each(r.Findings, toJSONRigFinding), Aim: aimOf(rig),
		Zones: each(rig.Camera.Zones(), func(z sim.Zone) jsonZone { return jsonZone{z.From, optional(z.To), z.Effect} }),
	}
	if f := r.Figures; f != nil {
		holds := f.Holds
		if holds.Low > holds.High {
			holds = sim.Exactly(sim.Never) // none
		}
		j.Figures = &jsonFigures{optional(holds.Low), optional(holds.High), f.SingleMove, optional(f.Stop), optional(f.Restart)}
	}
	return newJSON(w).Encode(j)
}

func toJSONRigFinding(f rigcheck.Finding) jsonRigFinding {
	changes := each(f.Changes, func(c rigcheck.Change) []jsonSetting {
		return each(c.Settings, func(s rigfile.Difference) jsonSetting { return jsonSetting(s) })
	})
	return jsonRigFinding{f.Code, f.Fault, f.Text, f.Why, f.Remedy, changes}
}
