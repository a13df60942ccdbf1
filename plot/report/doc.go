// Package report writes what a replay found as a page to read, print and
// share: one HTML file that asks nothing of anybody. It holds its own style,
// its drawing and a small script, makes no request, and says the same without
// the script.
//
// The way of the data:
//
//  1. A [Page] holds the results of one log: a flight for each segment, with
//     its replay, findings and trace as the model made them.
//  2. The timing chart is laid out in two coordinate systems. Across, marks and
//     the trace are in ticks of time, so that zooming is a change of the view
//     box and the drawing is the data; text stands beside it in pixels and is
//     placed where it fits.
//  3. Dense stretches are drawn as one mark that says how many it stands for,
//     so that the drawing of a segment stays under 2 MiB whatever the log's
//     length. The rows of a table are limited as well, and the page says what it
//     left out.
//  4. Tables say all that the drawing shows, for ears and for paper.
//
// An [Index] lists several pages. Both are plain data and compute nothing that
// the model computes. Colours are those of Okabe and Ito (Color Universal
// Design, jfly.uni-koeln.de/color), and never carry meaning alone.
package report
