//go:build !windows

package main

import "github.com/google/renameio/v2"

// replaceFile puts a whole file in place at once.
func replaceFile(path string, content []byte) error {
	return renameio.WriteFile(path, content, 0o666)
}
