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
			at, added := list.place(&value)
			require.True(t, added)
			require.EqualValues(t, i, at)
		}
		for i := range n {
			value := -i
			at, added := list.place(&value)
			require.False(t, added)
			require.EqualValues(t, i, at)
		}
		require.Len(t, list.all, n)
	}
}

func TestListsArePackedApart(t *testing.T) {
	var p packed[int]
	lists := [][]int{p.keep([]int{1, 2}), p.keep([]int{3}), p.keep(make([]int, 100)), p.keep([]int{4})}
	_ = append(lists[0], 9)
	require.Equal(t, [][]int{{1, 2}, {3}, make([]int, 100), {4}}, lists)
}
