package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// limits is what a package of the project may import of the others, and whether
// it may reach the world: files, screens, devices, the network.
type limits struct {
	imports []string
	worldly bool
}

// layout is the layout of the packages: data goes one way, from source to chain to results to
// view. Views meet only in the command, which may import everything.
var layout = map[string]limits{
	"sim":                        {},
	"sim/stat":                   {},
	"sim/excerpt":                {},
	"sim/problem":                {imports: []string{"sim/excerpt"}},
	"sim/files":                  {imports: []string{"sim/problem"}, worldly: true},
	"sim/rigfile":                {imports: []string{"sim", "sim/excerpt", "sim/problem"}},
	"sim/rigfile/starter":        {imports: []string{"sim", "sim/problem", "sim/rigfile"}},
	"sim/chanlog":                {imports: []string{"sim", "sim/chanlog/bitmap", "sim/excerpt", "sim/problem"}},
	"sim/chanlog/bitmap":         {},
	"sim/chanlog/loggen":         {imports: []string{"sim"}},
	"sim/chanlog/loggen/makelog": {imports: []string{"sim/chanlog/loggen"}, worldly: true},
	"sim/vcd":                    {imports: []string{"sim", "sim/excerpt"}},
	"sim/mavlink":                {imports: []string{"sim", "sim/excerpt", "sim/tell"}},
	"sim/joystick":               {imports: []string{"sim"}},
	"sim/source":                 {imports: []string{"sim", "sim/chanlog", "sim/excerpt", "sim/mavlink", "sim/tell", "sim/vcd"}},
	"sim/tell":                   {imports: []string{"sim"}},
	"sim/flight":                 {imports: []string{"sim", "sim/belief", "sim/excerpt", "sim/problem", "sim/rigfile", "sim/tell"}},
	"sim/logs":                   {imports: []string{"sim", "sim/belief", "sim/bmff", "sim/card", "sim/card/folder", "sim/chanlog", "sim/excerpt", "sim/files", "sim/flight", "sim/lists", "sim/mavlink", "sim/problem", "sim/source", "sim/tell"}, worldly: true},
	"sim/export":                 {imports: []string{"sim", "sim/belief", "sim/benchcard", "sim/excerpt", "sim/fit", "sim/flight", "sim/live", "sim/odds", "sim/rigcheck", "sim/rigfile", "sim/tell", "sim/vcd"}},
	"sim/belief":                 {imports: []string{"sim", "sim/tell"}},
	"sim/live":                   {imports: []string{"sim", "sim/belief"}},
	"sim/live/session":           {imports: []string{"sim", "sim/belief", "sim/chanlog", "sim/excerpt", "sim/files", "sim/flight", "sim/joystick", "sim/live", "sim/logs", "sim/mavlink", "sim/problem", "sim/source", "sim/tell"}, worldly: true},
	"sim/fit":                    {imports: []string{"sim"}},
	"sim/fit/trials":             {imports: []string{"sim", "sim/fit", "sim/lists"}},
	"sim/lists":                  {imports: []string{"sim", "sim/belief", "sim/excerpt", "sim/fit"}},
	"sim/bmff":                   {imports: []string{"sim"}},
	"sim/bmff/bmfftest":          {},
	"sim/card":                   {imports: []string{"sim", "sim/belief", "sim/bmff", "sim/excerpt", "sim/tell"}},
	"sim/card/folder":            {imports: []string{"sim", "sim/bmff", "sim/card", "sim/files"}, worldly: true},
	"sim/season":                 {imports: []string{"sim", "sim/belief", "sim/excerpt", "sim/fit", "sim/flight", "sim/habit", "sim/odds", "sim/stat", "sim/tell"}},
	"sim/season/folders":         {imports: []string{"sim", "sim/belief", "sim/bmff", "sim/card", "sim/card/folder", "sim/files", "sim/flight", "sim/lists", "sim/logs", "sim/problem", "sim/rigfile", "sim/season", "sim/tell"}, worldly: true},
	"sim/season/invented":        {imports: []string{"sim"}},
	"sim/rigcheck":               {imports: []string{"sim", "sim/rigfile", "sim/tell"}},
	"sim/benchcard":              {imports: []string{"sim", "sim/excerpt", "sim/lanes", "sim/rigcheck", "sim/tell"}},
	"sim/habit":                  {imports: []string{"sim", "sim/odds", "sim/stat"}},
	"sim/odds":                   {imports: []string{"sim", "sim/stat"}},
	"sim/text":                   {imports: []string{"sim", "sim/belief", "sim/excerpt", "sim/fit", "sim/flight", "sim/lanes", "sim/odds", "sim/rigcheck", "sim/season", "sim/stat", "sim/tell"}},
	"sim/lanes":                  {imports: []string{"sim", "sim/tell"}},
	"plot":                       {imports: []string{"sim", "sim/flight", "sim/lanes", "sim/tell"}},
	"plot/figures":               {imports: []string{"plot", "plot/report", "sim", "sim/fit", "sim/flight", "sim/lanes", "sim/odds", "sim/season", "sim/tell", "sim/text", "trainer"}},
	"plot/report":                {imports: []string{"sim", "sim/belief", "sim/excerpt", "sim/flight", "sim/lanes", "sim/rigfile", "sim/season", "sim/tell"}},
	"trainer":                    {imports: []string{"sim", "sim/excerpt", "sim/problem", "sim/stat", "sim/tell"}},
	"trainer/history":            {imports: []string{"sim", "sim/excerpt", "sim/files", "sim/habit", "sim/rigfile", "sim/stat", "trainer"}, worldly: true},
	"trainer/history/smalldisk":  {worldly: true},
	"trainer/progress":           {imports: []string{"sim", "sim/stat", "sim/tell", "sim/text", "trainer", "trainer/history"}},
	"trainer/device":             {imports: []string{"sim", "sim/excerpt", "sim/joystick", "sim/problem"}, worldly: true},
	"trainer/term":               {imports: []string{"sim", "sim/lanes", "trainer"}, worldly: true},
	"trainer/viewer":             {imports: []string{"sim", "sim/flight", "sim/lanes", "sim/tell", "trainer/term"}},
	"trainer/practice":           {imports: []string{"sim", "sim/joystick", "sim/lanes", "sim/stat", "sim/tell", "trainer", "trainer/device", "trainer/term"}},
	"trainer/liveview":           {imports: []string{"sim", "sim/belief", "sim/lanes", "sim/live", "sim/tell", "trainer", "trainer/term"}},
	"trainer/livelines":          {imports: []string{"sim", "sim/belief", "sim/export", "sim/files", "sim/live", "sim/live/session", "sim/tell", "trainer/liveview", "trainer/term"}, worldly: true},
	"trainer/term/screentest":    {imports: []string{"sim", "trainer/term"}, worldly: true},
	"trainer/term/termtest":      {worldly: true},
	"cmd/manual":                 {imports: []string{"sim/excerpt"}},
}

// world lists imports by which a package reaches the world, by their beginning.
var world = []string{"os", "net", "syscall", "golang.org/x/sys/unix", "golang.org/x/sys/windows", "golang.org/x/term", "github.com/gdamore/tcell", "github.com/adrg/xdg"}

// TestLayout holds every package to the layout.
func TestLayout(t *testing.T) {
	packages, err := goList()
	require.NoError(t, err)
	for name, imports := range packages {
		if name == "cmd/flicktally" {
			continue
		}
		may, known := layout[name]
		require.True(t, known, "%s is not in the layout: say what it may import", name)
		for _, imported := range imports {
			if own, ok := strings.CutPrefix(imported, "flicktally/"); ok {
				require.Contains(t, may.imports, own, "%s must not import %s", name, own)
			}
			require.False(t, !may.worldly && reachesWorld(imported), "%s must not import %s", name, imported)
		}
	}
}

func reachesWorld(imported string) bool {
	return slices.ContainsFunc(world, func(w string) bool {
		return imported == w || strings.HasPrefix(imported, w+"/")
	})
}
