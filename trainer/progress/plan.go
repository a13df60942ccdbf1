package progress

import (
	"fmt"
	"io"
	"time"

	"flicktally/sim/tell"
	"flicktally/trainer"
)

// WritePlan writes the rest of today's ten minutes, the progress of each drill, and
// how many mistakes in flights each drill trains against.
func WritePlan(to io.Writer, known trainer.Known, mistakes []trainer.Mistake) {
	plan := known.Plan()
	if len(plan) == 0 {
		fmt.Fprintln(to, "Today's ten minutes are done.")
	} else {
		fmt.Fprintln(to, "Left of today's ten minutes:")
	}
	for _, k := range plan {
		fmt.Fprintf(to, "  %-10s %s\n", k, k.Title())
	}
	fmt.Fprintln(to, "\nProgress of each drill:")
	for _, k := range trainer.Kinds {
		if k == trainer.KindMixed || k == trainer.KindReview {
			continue // consists of trials of the others
		}
		state := known.Past.Reliability(k).State()
		if latest := known.Past.Latest(k); !latest.IsZero() {
			state = fmt.Sprintf("%-8s %s", state, latest.Format(time.DateOnly))
		}
		fmt.Fprintf(to, "  %-10s %s\n", k, state)
	}
	writeMistakes(to, mistakes)
	fmt.Fprintln(to, "\nTo start: flicktally practise, then Enter.")
}

// writeMistakes counts mistakes by the drill that trains against them.
func writeMistakes(to io.Writer, mistakes []trainer.Mistake) {
	if len(mistakes) == 0 {
		return
	}
	times := map[trainer.Kind]int{}
	for _, m := range mistakes {
		times[m.Remedy] += m.Times
	}
	fmt.Fprintln(to, "\nMistakes in the flights, by the drill that trains against them:")
	for _, k := range trainer.Kinds {
		if n := times[k]; n > 0 {
			fmt.Fprintf(to, "  %-10s %s\n", k, tell.Counted(n, "mistake", "mistakes"))
		}
	}
}
