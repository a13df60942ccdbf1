//go:build !windows

package main

import (
	"errors"
	"io/fs"

	"github.com/google/renameio/v2"
)

// replaceFile puts a whole file in place at once. Its error leaves out the name
// of the file that is written first.
func replaceFile(path string, content []byte) error {
	err := renameio.WriteFile(path, content, 0o666)
	var place *fs.PathError
	if errors.As(err, &place) {
		return place.Err
	}
	return err
}
