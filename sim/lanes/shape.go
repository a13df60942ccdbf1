package lanes

import "math"

// Shape is a mark that shows an outcome without colour. It fits a box from -1
// to 1 in both directions, y upwards.
type Shape []Figure

// Figure is one piece of a shape: a filled and outlined polygon, or an open
// line. A hollow figure is filled with paper.
type Figure struct {
	Points []Point
	Closed bool
	Hollow bool
}

// Point is a place in the box of a shape.
type Point struct{ X, Y float64 }

// The shapes. A bar is as wide as its hold is long. A press that the camera did
// not accept is hollow or crossed.
var (
	disc       = Shape{circle(1, false)}
	ring       = Shape{circle(0.9, true)}
	barredRing = Shape{circle(0.9, true), stroke(-0.65, -0.65, 0.65, 0.65)}
	narrowBar  = Shape{polygon(-0.28, -1, 0.28, -1, 0.28, 1, -0.28, 1)}
	wideBar    = Shape{polygon(-1.5, -0.45, 1.5, -0.45, 1.5, 0.45, -1.5, 0.45)}
	twoBars    = Shape{polygon(-0.9, -1, -0.3, -1, -0.3, 1, -0.9, 1), polygon(0.3, -1, 0.9, -1, 0.9, 1, 0.3, 1)}
	hourglass  = Shape{polygon(-0.9, 1, 0.9, 1, -0.9, -1, 0.9, -1)}
	cross      = Shape{polygon(-1, -0.6, -0.6, -1, 0, -0.4, 0.6, -1, 1, -0.6, 0.4, 0, 1, 0.6, 0.6, 1, 0, 0.4, -0.6, 1, -1, 0.6, -0.4, 0)}
	triangle   = Shape{polygon(-1, -0.85, 1, -0.85, 0, 1)}
	diamond    = Shape{hollow(polygon(0, -1.1, 0.95, 0, 0, 1.1, -0.95, 0))}
	openBox    = Shape{stroke(1, -0.9, -0.8, -0.9, -0.8, 0.9, 1, 0.9)}
	question   = Shape{
		stroke(-0.6, 0.45, -0.35, 0.9, 0.25, 0.95, 0.6, 0.5, 0.4, 0.1, 0, -0.15, 0, -0.45),
		polygon(-0.18, -1, 0.18, -1, 0.18, -0.72, -0.18, -0.72),
	}
)

func points(xy []float64) []Point {
	all := make([]Point, len(xy)/2)
	for i := range all {
		all[i] = Point{xy[2*i], xy[2*i+1]}
	}
	return all
}

func polygon(xy ...float64) Figure { return Figure{Points: points(xy), Closed: true} }
func stroke(xy ...float64) Figure  { return Figure{Points: points(xy)} }
func hollow(f Figure) Figure       { f.Hollow = true; return f }

func circle(radius float64, hollow bool) Figure {
	const corners = 20
	f := Figure{Closed: true, Hollow: hollow}
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		f.Points = append(f.Points, Point{radius * cos, radius * sin})
	}
	return f
}
