// Package report writes the results of a replay as a page to read, print and
// share: one self-contained HTML file. It has its own style, its drawing and a
// small script, makes no request, and says the same without the script.
//
// How a page is made:
//
//  1. A [Page] holds the results of one log: a flight for each segment, with
//     its replay, findings and trace as the model made them.
//  2. The timing chart is laid out in px, and every mark gives its stretch in
//     ticks of time. The page's script reads these, and lays the chart out again
//     for the width of the screen and after each zoom.
//  3. Dense stretches are drawn as one mark that says how many it stands for,
//     so that the drawing of a segment stays under 2 MiB whatever the log's
//     length. The rows of a table are limited, too, and the page says how many it
//     left out.
//  4. Tables repeat what the drawing shows, for screen readers and for paper.
//
// An [Index] lists the flights of an outing. Both are plain data and compute
// nothing that the model computes. Lanes, names, letters, colours, hatches and
// shapes are those of package lanes, and colour never carries meaning alone.
package report
