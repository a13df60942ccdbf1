package report

import (
	"strconv"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

func TestLabelsNeverOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawing{Ticks: 10_000}
		for range rapid.IntRange(1, 300).Draw(t, "labels") {
			from := rapid.Int64Range(0, d.Ticks).Draw(t, "from")
			d.Labels = append(d.Labels, label{
				From: from, To: rapid.Int64Range(from, d.Ticks).Draw(t, "to"),
				Y: rapid.IntRange(0, 2).Draw(t, "row"), Inside: rapid.Bool().Draw(t, "inside"),
				Brief: rapid.StringMatching(`[a-zé]{0,3}`).Draw(t, "brief"), Text: rapid.StringMatching(`[a-zé]{1,40}`).Draw(t, "text"),
			})
		}
		d.placeLabels()
		for i, a := range d.Labels {
			from, to := shownExtent(t, a)
			if a.Shown != "" && (from < plotLeft-0.01 || to > plotLeft+plotWidth+0.01) {
				t.Fatalf("%q is beside the plot", a.Shown)
			}
			for _, b := range d.Labels[:i] {
				otherFrom, otherTo := shownExtent(t, b)
				if a.Y == b.Y && a.Shown != "" && b.Shown != "" && from < otherTo && to > otherFrom {
					t.Fatalf("%q over %q", a.Shown, b.Shown)
				}
			}
		}
	})
}

// shownExtent returns the px that a label's text takes.
func shownExtent(t *rapid.T, l label) (from, to float64) {
	if l.Shown == "" {
		return 0, 0
	}
	middle, err := strconv.ParseFloat(l.X, 64)
	require.NoError(t, err)
	half := float64(utf8.RuneCountInString(l.Shown)) * letterWidth / 2
	return middle - half, middle + half
}

func TestALabelShowsAsMuchAsHasRoom(t *testing.T) {
	d := drawing{Unit: 1, Ticks: plotWidth}
	plan := lanePlan{height: 20, text: textAbove}
	at := func(px sim.Micros, first bool) mark {
		return mark{Span: sim.Span{From: px, To: px}, Text: "12: 280ms", Brief: "12", First: first}
	}
	d.Labels = d.labelsOf([]mark{at(100, false), at(104, true), at(140, false), at(400, false)}, plan, 50)
	d.placeLabels()

	shown := map[int64]string{}
	for _, l := range d.Labels {
		shown[l.From] = l.Shown
	}
	require.Equal(t, map[int64]string{
		104: "12", // comes first, so it keeps its place
		100: "",   // has no room beside it
		140: "12", // has room for the brief text
		400: "12: 280ms",
	}, shown)
}

func TestTextInsideAMarkNeedsRoomInIt(t *testing.T) {
	d := drawing{Unit: 1, Ticks: plotWidth}
	plan := lanePlan{height: 20, text: textInside}
	for _, width := range []sim.Micros{10, 30, 90} {
		d.Labels = append(d.Labels, d.labelsOf([]mark{{Span: sim.Span{From: 4 * width, To: 5 * width}, Text: "recording", Brief: "rec"}}, plan, int(width)*100)...)
	}
	d.placeLabels()
	require.Equal(t, []string{"", "rec", "recording"}, []string{d.Labels[0].Shown, d.Labels[1].Shown, d.Labels[2].Shown})
}
