// Package folder reads the headers of the video files in a folder: a camera's
// card, or a copy of one. It reads nothing else of them, and writes nothing.
package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"flicktally/sim"
	"flicktally/sim/bmff"
	"flicktally/sim/card"
	"flicktally/sim/files"
)

// Read reads every file in folders and their subfolders, and single files. A
// file that cannot be read is in the result with the reason. The error is about
// one of the given paths. Links are not followed.
func Read(paths ...string) ([]card.File, error) {
	var found []card.File
	for _, path := range paths {
		info, err := files.Stat(path)
		if err != nil {
			return nil, err
		}
		if !info.IsDir() && !info.Mode().IsRegular() {
			return nil, fmt.Errorf("%s is no plain file, want a video file or the folder of a card", path)
		}
		if !info.IsDir() {
			found = append(found, readFile(path, filepath.Base(path)))
			continue
		}
		in, err := readFolder(path)
		if err != nil {
			return nil, err
		}
		found = append(found, in...)
	}
	return found, nil
}

// mostFiles is the most files of a folder: a card has fewer.
const mostFiles = 100_000

func readFolder(root string) ([]card.File, error) {
	var files []card.File
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		name, _ := filepath.Rel(root, path)
		switch {
		case err != nil && path == root:
			return err
		case err != nil:
			files = append(files, card.File{Name: filepath.ToSlash(name), Err: reason(err)})
			return nil
		case !entry.Type().IsRegular():
			return nil
		case len(files) == mostFiles:
			return fmt.Errorf("found more than %d files in %s, want the folder of a card", mostFiles, root)
		}
		files = append(files, readFile(path, filepath.ToSlash(name)))
		return nil
	})
	return files, err
}

// readFile reads the header of a file.
func readFile(path, name string) card.File {
	f := card.File{Name: name}
	file, err := os.Open(path)
	if err != nil {
		f.Err = reason(err)
		return f
	}
	defer file.Close()
	info, err := file.Stat()
	switch {
	case err != nil:
		f.Err = reason(err)
	case !info.Mode().IsRegular():
		f.Err = bmff.ErrNoVideo
	default:
		f.Size, f.Modified = info.Size(), sim.Micros(info.ModTime().UnixMicro())
		if f.Header, err = bmff.Read(file, f.Size); err != nil {
			f.Err = reason(err)
		}
	}
	return f
}

// reason returns an error without its path, which is shown beside it.
func reason(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}
