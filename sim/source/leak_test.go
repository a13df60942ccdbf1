package source

import (
	"testing"

	"go.uber.org/goleak"
)

// Reading ahead ends with the reader.
func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }
