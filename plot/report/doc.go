// Package report writes results as a page to read, print and share: one HTML file
// with its style, its drawings and a small script. The page makes no request, and
// says the same without the script.
//
//  1. A [Page] has the results of one log: a flight for each segment.
//  2. The timing chart is laid out in px, and each mark has its stretch of time in
//     ticks. The page's script reads these and lays the chart out again for the
//     width of the screen and after each zoom.
//  3. Dense stretches become one mark that says how many it stands for. So the
//     drawing of a segment is smaller than 2 MiB, whatever the log. Tables have a
//     limited number of rows, and the page says how many it leaves out.
//  4. Tables repeat what the drawing shows, for screen readers and for paper.
//
// An [Index] lists the flights of an outing, and [WriteSeason] writes a season.
// They compute nothing of the model. Lanes, names, letters, colours, hatches and
// shapes are those of package lanes, and colour never carries meaning alone.
package report
