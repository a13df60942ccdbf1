package plot

import (
	"gonum.org/v1/plot/vg"

	"flicktally/sim/lanes"
)

// bandRow shows stretches of time as boxes with labels.
type bandRow struct{ *lanes.Lane }

func (r bandRow) names() []string { return []string{r.Name} }
func (bandRow) height() vg.Length { return 18 }

func (r bandRow) draw(s strip) {
	blocks := s.blocks(r.Lane)
	s.fillBlocks(blocks, s.Min.Y, s.Max.Y)
	for _, b := range blocks {
		if b.Several() {
			continue
		}
		label, area := r.Label(b.First), b.rect(s.Min.Y, s.Max.Y)
		if label.Doubt {
			s.found.doubt = true
			s.frameDoubt([]vg.Rectangle{area}, b.look)
		}
		for _, words := range []string{label.Long, label.Short} {
			if words != "" && s.label(area, words+mark(label.Doubt), s.theme.fill(b.look)) {
				s.found.named[b.look] = true
				break
			}
		}
	}
}

// levelRow shows a signal with two values. High is pressed.
type levelRow struct{ *lanes.Lane }

func (r levelRow) height() vg.Length { return max(22, textSize+vg.Length(len(r.Same))*smallLine+2) }

func (r levelRow) names() []string {
	names := []string{r.Name}
	for _, same := range r.Same {
		names = append(names, "= "+same)
	}
	return names
}

func (r levelRow) draw(s strip) {
	low, high := s.Min.Y+3, s.Max.Y-3
	pressed := s.theme.Fill(lanes.Pressed)
	var dense []vg.Rectangle
	var areas []vg.Rectangle
	var wave vg.Path
	wave.Move(vg.Point{X: s.Min.X, Y: low})
	for _, b := range s.blocks(r.Lane) {
		if b.Several() {
			dense = append(dense, b.rect(low, high))
		} else if b.to-b.from > lineWidth {
			areas = append(areas, b.rect(low, high)) // else the line fills it
		}
		wave.Line(vg.Point{X: b.from, Y: low})
		wave.Line(vg.Point{X: b.from, Y: high})
		wave.Line(vg.Point{X: b.to, Y: high})
		wave.Line(vg.Point{X: b.to, Y: low})
	}
	wave.Line(vg.Point{X: s.Max.X, Y: low})
	s.fillRects(areas, fill{colour: pressed})
	s.fillRects(dense, s.theme.fill(lanes.Several))
	s.stroke(wave, line(s.theme.Ink, lineWidth))
	s.nameRight(rightName{low, "released", false}, rightName{high, "pressed", false})
}
