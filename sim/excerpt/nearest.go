package excerpt

// Nearest returns the candidate that is most similar to word, if it is similar enough
// to be what the user meant.
func Nearest(word string, candidates []string) (string, bool) {
	const most = 100 // limits the work
	best, fewest := "", max(2, len(word)/3+1)
	if len(word) > most {
		return "", false
	}
	for _, candidate := range candidates {
		if len(candidate) > most {
			continue
		}
		if n := edits(word, candidate); n < fewest {
			best, fewest = candidate, n
		}
	}
	return best, best != ""
}

// edits counts the insertions, deletions and replacements from a to b
// (Levenshtein 1966), keeping one row of the usual table.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			replace := diagonal
			if a[i] != b[j] {
				replace++
			}
			diagonal = row[j+1]
			row[j+1] = min(replace, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}
