package sim

import (
	"fmt"
	"strings"
)

// OneOf lists the accepted values for an error message: "high" or "low";
// "auto", "us" or "ms".
func OneOf[T ~string](accepted []T) string {
	quoted := make([]string, len(accepted))
	for i, word := range accepted {
		quoted[i] = fmt.Sprintf("%q", string(word))
	}
	last := len(quoted) - 1
	if last <= 0 {
		return strings.Join(quoted, "")
	}
	return strings.Join(quoted[:last], ", ") + " or " + quoted[last]
}
