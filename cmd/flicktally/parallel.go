package main

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// onAllCores calls do for 0 to n − 1 on all processors and returns when all are
// done.
func onAllCores(n int, do func(i int)) {
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Go(func() {
			for i := next.Add(1) - 1; i < int64(n); i = next.Add(1) - 1 {
				do(int(i))
			}
		})
	}
	all.Wait()
}
