package export

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
)

// CuePaths names the files of cues of flights, one flight after the other: each
// after its video file and in the folder of out, or else after out itself. No two
// names are the same.
func CuePaths(flights [][]CueFile, out string) []string {
	ending := filepath.Ext(out)
	stem := strings.TrimSuffix(out, ending)
	taken := map[string]bool{}
	var paths []string
	for i, cues := range flights {
		for n, c := range cues {
			path := fmt.Sprintf("%s-clip%d%s", stem, n+1, ending)
			if len(flights) > 1 {
				path = fmt.Sprintf("%s-%d-clip%d%s", stem, i+1, n+1, ending)
			}
			if name := playerName(c.Clip); name != "" && !taken[strings.ToLower(name)] {
				taken[strings.ToLower(name)] = true
				path = filepath.Join(filepath.Dir(out), name+ending)
			}
			paths = append(paths, path)
		}
	}
	return paths
}

// playerName returns the name of a video file without folder and ending, by
// which a player looks for cues; "" if that is not a file name.
func playerName(clip string) string {
	name := clip[strings.LastIndexAny(clip, "/\\:")+1:]
	if dot := strings.LastIndexByte(name, '.'); dot > 0 {
		name = name[:dot]
	}
	name = strings.Map(func(r rune) rune {
		if r < ' ' || strings.ContainsRune("<>\"|?*", r) || !strconv.IsPrint(r) {
			return '_'
		}
		return r
	}, name)
	if strings.Trim(name, ". ") == "" || strings.HasPrefix(name, ".") || len(name) > 200 {
		return ""
	}
	return name
}
