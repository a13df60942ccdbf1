// Command makelog writes a channel log of a given size to standard output, for
// measurements by hand:
//
//	go run ./sim/chanlog/loggen/makelog -columns 40 -mb 200 > big.csv
package main

import (
	"flag"
	"fmt"
	"os"

	"flicktally/sim/chanlog/loggen"
)

func main() {
	columns := flag.Int("columns", 40, "`number` of columns, 2 or more")
	megabytes := flag.Int64("mb", 100, "size in `MB` of 1e6 bytes")
	seed := flag.Uint64("seed", 1, "`number` that the log is generated from")
	flag.Parse()
	if *columns < 2 || *megabytes < 0 || flag.NArg() > 0 {
		flag.Usage()
		os.Exit(2)
	}
	made, err := loggen.Write(os.Stdout, loggen.Shape{Columns: *columns, Bytes: *megabytes * 1e6, Seed: *seed})
	if err != nil {
		fmt.Fprintln(os.Stderr, "makelog:", err)
		os.Exit(1)
	}
	fmt.Fprintf(os.Stderr, "%d bytes, %d rows, %d flicks\n", made.Bytes, made.Rows, made.Flicks)
}
