package main

import (
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestOnAllCores(t *testing.T) {
	for _, n := range []int{0, 1, 2, 1000} {
		done := make([]atomic.Int32, n)
		onAllCores(n, func(i int) { done[i].Add(1) })
		for i := range done {
			require.Equal(t, int32(1), done[i].Load(), "piece %d of %d", i, n)
		}
	}
}
