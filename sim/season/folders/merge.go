package folders

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/files"
	"flicktally/sim/problem"
	"flicktally/sim/season"
)

// Merge merges seasons with a rig that [season.Season.WriteJSON] wrote. An outing in
// two of them counts once.
func Merge(desk *files.Desk, rig sim.Rig, paths ...string) ([]season.Outing, []season.LeftOut, error) {
	var parts [][]season.Outing
	var left []season.LeftOut
	for _, path := range paths {
		file, _, err := desk.Await(path)
		if err != nil {
			return nil, nil, problem.CannotRead(fmt.Errorf("cannot read the season: %w", err))
		}
		outings, leftOut, err := season.ReadJSON(file, files.NameOf(path), rig)
		file.Close()
		if err != nil {
			return nil, nil, problem.CannotRead(err)
		}
		parts, left = append(parts, outings), append(left, leftOut...)
	}
	outings, twice := season.Merge(parts...)
	return outings, append(left, twice...), nil
}
