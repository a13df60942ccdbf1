package trainer

import "flicktally/sim/tell"

// Mistake is something that went wrong at the switch in a flight, and the drill
// that trains against it.
type Mistake struct {
	Text   string // what happened
	Remedy Kind
	Times  int // how often, from 1
	code   tell.Code
}

// remedies has the drill against each kind of finding that practice can cure. A
// lost signal is not one, nor is what the pilot may have intended, such as a
// stopped take.
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

// Mistakes returns the findings of a flight that practice can cure, in order of
// time.
func Mistakes(findings []tell.Finding) []Mistake {
	var mistakes []Mistake
	for _, f := range findings {
		if remedy, ok := remedies[f.Code]; ok {
			mistakes = append(mistakes, Mistake{f.Text, remedy, max(1, f.Count), f.Code})
		}
	}
	return mistakes
}
