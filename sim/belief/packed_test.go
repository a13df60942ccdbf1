package belief

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Values keep their places, few or many of them, and after the list is cleared.
func TestDistinctValuesKeepTheirPlaces(t *testing.T) {
	var list distinct[int]
	for _, n := range []int{3 * fewDistinct, fewDistinct + 1, 2, 3 * fewDistinct} {
		list.clear()
		for i := range n {
			value := -i
			at, added := list.index(&value)
			require.True(t, added)
			require.EqualValues(t, i, at)
		}
		for i := range n {
			value := -i
			at, added := list.index(&value)
			require.False(t, added)
			require.EqualValues(t, i, at)
		}
		require.Len(t, list.all, n)
	}
}

func TestListsArePackedApart(t *testing.T) {
	var p arena[int]
	lists := [][]int{p.clone([]int{1, 2}), p.clone([]int{3}), p.clone(make([]int, 100)), p.clone([]int{4})}
	_ = append(lists[0], 9)
	require.Equal(t, [][]int{{1, 2}, {3}, make([]int, 100), {4}}, lists)
}
