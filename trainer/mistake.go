package trainer

import "flicktally/sim/tell"

// Mistake is something that went wrong at the switch in a flight, and the drill
// that makes it good.
type Mistake struct {
	Text   string // what happened
	Remedy Kind
	Times  int // how often, from 1
	code   tell.Code
}

// remedies maps what the flight shows to what trains against it. A finding that
// no practice cures, such as a lost signal, is not here, nor one that the pilot
// may have meant, such as a take that was stopped.
var remedies = map[tell.Code]Kind{
	"short-press":      KindFlick,
	"long-press":       KindFlick,
	"unseen-flick":     KindFlick,
	"busy-press":       KindCut,
	"short-take":       KindBlind,
	"recording-at-end": KindBlind,
	"never-recorded":   KindBlind,
	"off-press":        KindBlind,
	"chatter":          KindHandsOff,
}

// Mistakes returns those of a flight's findings that practice can cure, in
// order of time.
func Mistakes(findings []tell.Finding) []Mistake {
	var mistakes []Mistake
	for _, f := range findings {
		if remedy, ok := remedies[f.Code]; ok {
			mistakes = append(mistakes, Mistake{f.Text, remedy, max(1, f.Count), f.Code})
		}
	}
	return mistakes
}
