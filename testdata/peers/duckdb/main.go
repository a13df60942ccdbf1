// Command duckdb counts the presses of a channel log with DuckDB, in two
// threads: the best exact form that was found, a table of the time and the
// comparison, then LAG over it.
//
//	duckdb LOG COLUMN
package main

import (
	"database/sql"
	"fmt"
	"log"
	"os"

	_ "github.com/duckdb/duckdb-go/v2"
)

func main() {
	if len(os.Args) != 3 {
		log.Fatal("usage: duckdb LOG COLUMN")
	}
	presses, err := count(os.Args[1], os.Args[2])
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(presses)
}

func count(path, column string) (presses int64, err error) {
	db, err := sql.Open("duckdb", "")
	if err != nil {
		return 0, err
	}
	defer db.Close()
	for _, statement := range []string{
		"SET threads TO 2",
		fmt.Sprintf(`CREATE TABLE samples AS SELECT time_us AS moment, "%s" >= 1250 AS pressed FROM read_csv('%s', header = true)`, column, path),
	} {
		if _, err := db.Exec(statement); err != nil {
			return 0, err
		}
	}
	const edges = `SELECT count(*) FROM (
		SELECT pressed, lag(pressed, 1, false) OVER (ORDER BY moment) AS was FROM samples
	) WHERE pressed AND NOT was`
	err = db.QueryRow(edges).Scan(&presses)
	return presses, err
}
