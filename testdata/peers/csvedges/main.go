// Command csvedges counts the presses of a channel log with encoding/csv, and
// does nothing else.
//
//	csvedges LOG COLUMN
package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"log"
	"os"
	"slices"
	"strconv"
)

func main() {
	if len(os.Args) != 3 {
		log.Fatal("usage: csvedges LOG COLUMN")
	}
	file, err := os.Open(os.Args[1])
	if err != nil {
		log.Fatal(err)
	}
	presses, err := count(file, os.Args[2])
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(presses)
}

func count(r io.Reader, column string) (presses int, err error) {
	rows := csv.NewReader(r)
	rows.ReuseRecord = true
	header, err := rows.Read()
	if err != nil {
		return 0, err
	}
	at := slices.Index(header, column)
	if at < 0 {
		return 0, fmt.Errorf("no column %q", column)
	}
	pressed := false
	for {
		record, err := rows.Read()
		if err == io.EOF {
			return presses, nil
		}
		if err != nil {
			return 0, err
		}
		value, err := strconv.ParseFloat(record[at], 64)
		if err != nil {
			return 0, err
		}
		now := value >= 1250
		if now && !pressed {
			presses++
		}
		pressed = now
	}
}
