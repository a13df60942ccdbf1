// Package lanes decides what a replay looks like: its lanes, what they contain,
// and how each state and outcome is drawn. Chart, page and terminal only place
// and paint, so the same thing has the same name, letter, colour and shape
// everywhere.
//
//  1. [Of] returns the lanes of a replay. A [Lane] is a name and stretches of
//     time. The label of a stretch is made on demand, as a log may have millions.
//  2. A stretch has a [Look]. Its entry in the key ([Look.Entry]) says how to draw
//     it: colours on light and dark paper and in a terminal, hatch, letter, shape.
//  3. [Thin] joins stretches that fall on one column of a view, and [Count] counts
//     outcomes that are too many to draw one by one. [Ticks] are the times to label,
//     [Scale] the range of the channel.
//  4. [Strip] is the press window, drawn.
//
// Widths are in columns: pixels of a chart, characters of a terminal.
package lanes
