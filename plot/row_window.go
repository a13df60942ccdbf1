package plot

import (
	"fmt"
	"slices"

	"gonum.org/v1/plot/vg"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// windowRow shows one press in the press window: what a release at each moment
// would have done, and when the release was.
type windowRow struct {
	camera sim.CameraSpec
	press  sim.Press
	end    sim.Micros
}

// The release is written above the bar, the thresholds below it. The release only
// notches the bar, so that the names in it stay readable.
const (
	windowBar     vg.Length = 16
	thresholdRows           = 3
	releaseRow    vg.Length = 18
	releaseNotch  vg.Length = 3
)

func (windowRow) names() []string   { return []string{"press window"} }
func (windowRow) height() vg.Length { return releaseRow + windowBar + thresholdRows*numberRow }

func (r windowRow) draw(s strip) {
	bar := s.Rectangle
	bar.Max.Y = s.Max.Y - releaseRow
	bar.Min.Y = bar.Max.Y - windowBar
	rows := newLabelRows(s.Min.X, s.Max.X, thresholdRows)
	// From right to left, as in zonesPlotter.
	for _, z := range slices.Backward(lanes.ZonesOf(r.camera)) {
		area, end := bar, z.To
		if end != sim.Never {
			end += r.press.Down
		}
		area.Min.X, area.Max.X = s.x(r.press.Down+z.From), s.x(end)
		if area.Min.X >= area.Max.X {
			continue
		}
		f := s.theme.fill(z.Look)
		if !r.press.StateAt.Accepts() {
			f = fill{colour: s.theme.Panel, text: s.theme.Ink} // the window does not apply
		}
		drawBox(s.Canvas, s.theme, area, f)
		words := z.From.Rounded()
		if z.From == 0 {
			words = "down"
		}
		if !s.label(area, z.Name, f) {
			words += ": " + z.Name
		}
		r.nameThreshold(s, rows, area.Min, words)
	}
	r.drawRelease(s, bar)
}

// nameThreshold labels the start of a zone below the bar.
func (windowRow) nameThreshold(s strip, rows *labelRows, corner vg.Point, words string) {
	style := textStyle(s.theme.Ink, smallSize)
	row, from, ok := rows.placeBeside(corner.X, style.Width(words))
	if !ok {
		return
	}
	y := corner.Y - 2 - (vg.Length(row)+0.5)*numberRow
	s.write(style, vg.Point{X: from, Y: y}, words)
	s.StrokeLine2(line(s.theme.Ink, hairline), corner.X, corner.Y, corner.X, y-numberRow/3)
}

// releaseText says when the press was released and what it did.
func (r windowRow) releaseText() string {
	switch p := r.press; {
	case p.Open():
		return "not released when the log ended"
	case p.StateAt.Accepts():
		return fmt.Sprintf("released after %s: %s", p.Hold().Rounded(), p.Verdict)
	default:
		return fmt.Sprintf("released after %s; the camera was %s, so the window did not apply", p.Hold().Rounded(), tell.Condition(p.StateAt))
	}
}

// drawRelease draws a pointer at the release, and a line over the time between
// two samples in which the hand may have let go.
func (r windowRow) drawRelease(s strip, bar vg.Rectangle) {
	at := min(r.press.Up, r.end)
	words := r.releaseText()
	x, tip := s.x(at), bar.Max.Y+1
	s.FillPolygon(s.theme.Ink, []vg.Point{{X: x, Y: tip}, {X: x - 4, Y: tip + 7}, {X: x + 4, Y: tip + 7}})
	s.StrokeLine2(line(s.theme.Ink, lineWidth), x, tip, x, bar.Max.Y-releaseNotch)
	s.StrokeLine2(line(s.theme.Ink, lineWidth), x, bar.Min.Y, x, bar.Min.Y+releaseNotch)
	if unseen := r.press.UpUnseen; !r.press.Open() && unseen > 0 {
		s.StrokeLine2(line(s.theme.Ink, lineWidth), s.x(at-unseen), tip+2, x, tip+2)
	}
	style := textStyle(s.theme.Ink, textSize)
	width := style.Width(words)
	from := max(s.Min.X, min(x-width/2, s.Max.X-width))
	s.write(style, vg.Point{X: from, Y: s.Max.Y - textSize/2}, words)
}
