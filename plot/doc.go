// Package plot draws charts of what the model yields: the timing of a replay,
// holds over the press window, takes of several flights, and curves.
//
// A constructor ([Timing], [Holds], [Takes], [Curves]) takes results and lays
// them out as a [Chart]; [Write] draws that in a [Format]. The same input gives
// the same bytes. Charts compute nothing that the model computes. Typical use:
//
//	format, err := plot.FormatOf("regatta.svg")
//	chart, err := plot.Timing(replay, findings, trace, plot.TimingView{Title: "5 of 9 flicks toggled"})
//	err = plot.Write(file, chart, format)
//
// A chart of something new is a [CurveSet]: lines, bands around them, measured
// points, markers, over axes whose [Scale] says what their numbers are.
//
// # Size
//
// A chart's content is limited by its width, not by the length of the log:
// where many things fall on one column of pixels, a lane draws only their
// outline, and the chart says so. A timing chart of the standard width stays
// below 800 kB as SVG, whatever the log.
//
// # Look
//
// Package lanes decides what a timing chart shows and how each state and
// outcome is drawn: colours, hatches and signs are those of every other view.
// Colour never carries meaning alone: hatches, shapes and words say the same in
// grey.
package plot
