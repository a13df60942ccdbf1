package plot

import "gonum.org/v1/plot/vg"

// labelGap is the least space between two labels of a row.
const labelGap vg.Length = 4

// labelRows places labels in a few rows between left and right so that none
// overlaps another.
type labelRows struct {
	left, right vg.Length
	taken       [][]stretch // by row
}

// stretch is a part of a row.
type stretch struct{ from, to vg.Length }

func newLabelRows(left, right vg.Length, rows int) *labelRows {
	return &labelRows{left: left, right: right, taken: make([][]stretch, rows)}
}

// place finds room for a label of a width that belongs to x: centred on x, as far
// as the ends of the rows allow.
func (r *labelRows) place(x, width vg.Length) (row int, from vg.Length, ok bool) {
	from = max(r.left, min(x-width/2, r.right-width))
	row, ok = r.placeAt(x, stretch{from, from + width})
	return row, from, ok
}

// placeBeside finds room for a label of a width that belongs to a line at x: to
// the right of the line, to its left if the rows end too soon, or else at the end
// of the rows.
func (r *labelRows) placeBeside(x, width vg.Length) (row int, from vg.Length, ok bool) {
	const gap = 3
	if from = x + gap; from+width > r.right {
		from = x - gap - width
	}
	if from < r.left {
		from = r.right - width
	}
	row, ok = r.placeAt(x, stretch{from, from + width})
	return row, from, ok
}

// placeAt finds the first row with room for a label that belongs to x. The line
// from a label in a later row to x must not cross a label in an earlier row: x
// must be free there, and stays free.
func (r *labelRows) placeAt(x vg.Length, want stretch) (row int, ok bool) {
	if want.from < r.left || want.to > r.right {
		return 0, false
	}
	for row := range r.taken {
		if r.free(row, want) {
			for before := range row {
				r.taken[before] = append(r.taken[before], stretch{x, x})
			}
			r.taken[row] = append(r.taken[row], want)
			return row, true
		}
		if !r.free(row, stretch{x, x}) {
			return 0, false
		}
	}
	return 0, false
}

func (r *labelRows) free(row int, want stretch) bool {
	for _, t := range r.taken[row] {
		if want.from < t.to+labelGap && t.from < want.to+labelGap {
			return false
		}
	}
	return true
}
