package source

import (
	"testing"

	"go.uber.org/goleak"
)

// What reads ahead ends with who reads.
func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }
