package chanlog

import (
	"testing"

	"go.uber.org/goleak"
)

// No goroutine outlives its reader.
func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }
