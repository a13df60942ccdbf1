package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The rule of a stamp that is out of place: less than a second back it came late;
// further out of place it waits for its successor.
func TestOrderOfStamps(t *testing.T) {
	const s, ms = Second, Millisecond
	for _, tt := range []struct {
		name   string
		stamps []Micros
		want   []Place // of each, in the end
	}{
		{"in order", []Micros{5 * s, 5 * s, 6 * s, 16 * s}, []Place{Anew, InPlace, InPlace, InPlace}},
		{"late", []Micros{5 * s, 4*s + 1, 5*s - 1, 6 * s}, []Place{Anew, TooLate, TooLate, InPlace}},
		{"a second back begins anew", []Micros{5 * s, 4 * s, 4*s + 20*ms}, []Place{Anew, Anew, InPlace}},
		{"one far ahead is broken", []Micros{5 * s, 900 * s, 5*s + 20*ms, 6 * s}, []Place{Anew, Broken, InPlace, InPlace}},
		{"just too far ahead", []Micros{5 * s, 15*s + 1, 15 * s}, []Place{Anew, Broken, InPlace}},
		{"one far back is broken", []Micros{900 * s, 5 * s, 900*s + 20*ms}, []Place{Anew, Broken, InPlace}},
		{"a successor that is late too", []Micros{5 * s, 900 * s, 5*s - 1, 6 * s}, []Place{Anew, Broken, TooLate, InPlace}},
		{"a silence", []Micros{5 * s, 60 * s, 60*s + 20*ms}, []Place{Anew, InPlace, InPlace}},
		{"one broken after the other", []Micros{5 * s, 900 * s, 5*s + 20*ms, 0, 5*s + 40*ms}, []Place{Anew, Broken, InPlace, Broken, InPlace}},
		{"rows that are far apart", []Micros{0, 20 * s, 40 * s, 60 * s}, []Place{Anew, InPlace, InPlace, InPlace}},
		{"the last far ahead", []Micros{5 * s, 900 * s}, []Place{Anew, InPlace}},
		{"the last far back", []Micros{900 * s, 5 * s}, []Place{Anew, Anew}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var o Order
			got := make([]Place, len(tt.stamps))
			waiting := -1
			resolve := func(place Place) {
				require.Equal(t, waiting < 0, place == Nowhere)
				if waiting >= 0 {
					got[waiting], waiting = place, -1
				}
			}
			for i, at := range tt.stamps {
				waited, this := o.Next(at)
				resolve(waited)
				if got[i] = this; this == Waits {
					waiting = i
				}
			}
			resolve(o.End())
			require.Equal(t, tt.want, got)
		})
	}
}
