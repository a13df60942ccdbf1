package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A stamp less than a second early was overtaken; one further out of place is held
// until its successor.
func TestOrderOfStamps(t *testing.T) {
	const s, ms = Second, Millisecond
	for _, tt := range []struct {
		name   string
		stamps []Micros
		want   []Decision // of each, in the end
	}{
		{"in order", []Micros{5 * s, 5 * s, 6 * s, 16 * s}, []Decision{Restarted, Accepted, Accepted, Accepted}},
		{"late", []Micros{5 * s, 4*s + 1, 5*s - 1, 6 * s}, []Decision{Restarted, DroppedLate, DroppedLate, Accepted}},
		{"a second back restarts", []Micros{5 * s, 4 * s, 4*s + 20*ms}, []Decision{Restarted, Restarted, Accepted}},
		{"one far ahead is broken", []Micros{5 * s, 900 * s, 5*s + 20*ms, 6 * s}, []Decision{Restarted, DroppedBroken, Accepted, Accepted}},
		{"just too far ahead", []Micros{5 * s, 15*s + 1, 15 * s}, []Decision{Restarted, DroppedBroken, Accepted}},
		{"one far back is broken", []Micros{900 * s, 5 * s, 900*s + 20*ms}, []Decision{Restarted, DroppedBroken, Accepted}},
		{"a successor that is late too", []Micros{5 * s, 900 * s, 5*s - 1, 6 * s}, []Decision{Restarted, DroppedBroken, DroppedLate, Accepted}},
		{"a silence", []Micros{5 * s, 60 * s, 60*s + 20*ms}, []Decision{Restarted, Accepted, Accepted}},
		{"one broken after the other", []Micros{5 * s, 900 * s, 5*s + 20*ms, 0, 5*s + 40*ms}, []Decision{Restarted, DroppedBroken, Accepted, DroppedBroken, Accepted}},
		{"rows that are far apart", []Micros{0, 20 * s, 40 * s, 60 * s}, []Decision{Restarted, Accepted, Accepted, Accepted}},
		{"the last far ahead", []Micros{5 * s, 900 * s}, []Decision{Restarted, Accepted}},
		{"the last far back", []Micros{900 * s, 5 * s}, []Decision{Restarted, Restarted}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var o Order
			got := make([]Decision, len(tt.stamps))
			waiting := -1
			resolve := func(place Decision) {
				require.Equal(t, waiting < 0, place == NoStamp)
				if waiting >= 0 {
					got[waiting], waiting = place, -1
				}
			}
			for i, at := range tt.stamps {
				waited, this := o.Next(at)
				resolve(waited)
				if got[i] = this; this == Held {
					waiting = i
				}
			}
			resolve(o.End())
			require.Equal(t, tt.want, got)
		})
	}
}
