// Package lanes says what a replay looks like: which lanes it has, what stands
// in them and what it is called, and how each state and outcome is drawn. Chart,
// page and terminal place and paint what is here; none of them decides any of
// it, so the same thing has the same name, letter, colour and shape in all.
//
//  1. [Of] makes the list of [Lane] values of a replay. A lane is a name and
//     stretches of time; what a stretch is called is told when asked for, as a
//     log may have millions.
//  2. A stretch has a [Look]. The key ([Look.Entry]) says how that is drawn:
//     light, dark, in 16 colours and without any, by hatch, letter and shape.
//  3. [Thin] joins what falls on one column of a view, [Count] counts outcomes
//     where there are too many to draw one by one, [Ticks] is the one ladder of
//     time, [Scale] the one scale of the channel.
//  4. [Strip] is the press window: the emblem of the program.
//
// Widths are in columns: pixels of a chart, characters of a terminal.
package lanes
