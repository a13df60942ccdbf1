// Package lanes says what a replay looks like: its lanes, their contents and
// labels, and how each state and outcome is drawn. Chart, page and terminal
// place and paint these, and decide nothing themselves, so the same thing has
// the same name, letter, colour and shape everywhere.
//
//  1. [Of] returns the [Lane] list of a replay. A lane is a name and stretches of
//     time. The label of a stretch is made on demand, as a log may have millions.
//  2. A stretch has a [Look]. The key ([Look.Entry]) says how a look is drawn:
//     light, dark, in 16 colours and without colour, by hatch, letter and shape.
//  3. [Thin] joins stretches that fall on one column of a view, [Count] counts
//     outcomes if there are too many to draw one by one, [Ticks] is the one
//     ladder of time, [Scale] the one scale of the channel.
//  4. [Strip] is the press window: the emblem of the program.
//
// Widths are in columns: pixels of a chart, characters of a terminal.
package lanes
