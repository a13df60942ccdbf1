package problem_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim/problem"
)

// shown is an error with a place that it shows itself.
type shown struct{}

func (shown) Error() string   { return "heron.toml:3:1: found a, want b" }
func (shown) Explain() string { return "found a, want b\n  line 3, column 1 of heron.toml reads: »a" }

func TestExplain(t *testing.T) {
	plain := errors.New("found a, want b")
	for name, test := range map[string]struct {
		err  error
		kind any
		want string
	}{
		"as it is":            {plain, problem.Failed, "found a, want b"},
		"a hint":              {problem.WrongUsage(plain, "try c"), problem.Usage, "found a, want b\n  → try c"},
		"hints in order":      {problem.CannotRead(plain, "try c", "try d"), problem.Unreadable, "found a, want b\n  → try c\n  → try d"},
		"the cause's first":   {problem.WrongUsage(problem.Hinted(plain, "try c"), "try d"), problem.Usage, "found a, want b\n  → try c\n  → try d"},
		"a hint keeps kind":   {problem.Hinted(problem.CannotRead(plain), "try c"), problem.Unreadable, "found a, want b\n  → try c"},
		"within another":      {fmt.Errorf("cannot fly: %w", problem.Hinted(plain, "try c")), problem.Failed, "cannot fly: found a, want b\n  → try c"},
		"a place":             {errors.New("heron.toml:3:1: found a, want b"), problem.Failed, "found a, want b\n  in line 3, column 1 of heron.toml"},
		"a place that shows":  {problem.WrongUsage(shown{}, "try c"), problem.Usage, "found a, want b\n  line 3, column 1 of heron.toml reads: »a\n  → try c"},
		"a hint within":       {problem.WrongUsage(fmt.Errorf("cannot fly: %w", problem.Hinted(shown{}, "try b")), "try c"), problem.Usage, "found a, want b\n  line 3, column 1 of heron.toml reads: »a\n  → try b\n  → try c"},
		"one of several":      {errors.Join(plain, problem.CannotRead(plain, "try c")), problem.Unreadable, "found a, want b\nfound a, want b\n  → try c"},
		"hints of several":    {errors.Join(problem.Hinted(plain, "try c"), problem.Hinted(plain, "try d")), problem.Failed, "found a, want b\nfound a, want b\n  → try c\n  → try d"},
		"an empty hint":       {problem.Hinted(plain, ""), problem.Failed, "found a, want b"},
		"a time is no place":  {errors.New("at 0:12 nothing came"), problem.Failed, "at 0:12 nothing came"},
		"a hint within shown": {fmt.Errorf("cannot fly: %w", problem.WrongUsage(shown{})), problem.Usage, "found a, want b\n  line 3, column 1 of heron.toml reads: »a"},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, test.want, problem.Explain(test.err))
			require.Equal(t, test.kind, problem.KindOf(test.err))
		})
	}
}

func TestIsMarked(t *testing.T) {
	require.False(t, problem.IsMarked(errors.New("a")))
	require.True(t, problem.IsMarked(fmt.Errorf("b: %w", problem.Hinted(errors.New("a"), "c"))))
}
