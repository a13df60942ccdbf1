package main

import (
	"encoding/hex"
	"os"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// unhex FROM TO writes the bytes that a file of hexadecimal digits stands for.
func unhex(ts *testscript.TestScript, _ bool, args []string) {
	data, err := unhexed(ts.ReadFile(args[0]))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), data, 0o666))
}

func unhexed(text string) ([]byte, error) {
	return hex.DecodeString(strings.Join(strings.Fields(text), ""))
}
