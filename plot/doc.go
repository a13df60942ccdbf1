// Package plot draws charts of what the model yields: the timing of a replay,
// holds over the press window, takes of several flights, and curves.
//
// A constructor ([Timing], [Holds], [Takes], [Curves]) lays results out as a
// [Chart]; [Write] draws that in a [Format]. Equal input gives equal bytes. Charts
// compute nothing of the model. Typical use:
//
//	format, err := plot.FormatOf("regatta.svg")
//	chart, err := plot.Timing(replay, findings, trace, plot.TimingView{Title: "5 of 9 flicks toggled"})
//	err = plot.Write(file, chart, format)
//
// A new kind of chart is a [CurveSet]: lines, bands around them, measured points
// and markers over axes whose [Scale] says what their numbers are.
//
// # Size
//
// The contents of a chart are limited by its width, not by the length of the log.
// Where many things fall on one column of pixels, a lane draws only their outline,
// and the chart says so. A timing chart of the standard width is smaller than
// 800 kB as SVG, whatever the log.
//
// # Look
//
// Package lanes decides what a timing chart shows and how each state and outcome
// is drawn. Colours, hatches and signs are those of every other view. Colour never
// carries meaning alone: in grey, hatches, shapes and words say the same.
package plot
