package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// What was read is never written over, whatever is forced, and two outputs are
// never one file. Files are compared as the system does, so that links and other
// spellings of a name lead nowhere else.

// readFiles are the files that the program reads.
type readFiles struct {
	mu    sync.Mutex
	files []os.FileInfo
}

// inputs are those of this run.
var inputs readFiles

// add notes that a file is read.
func (r *readFiles) add(path string) {
	if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
		r.mu.Lock()
		defer r.mu.Unlock()
		r.files = append(r.files, info)
	}
}

// addAll notes that a file is read, or every file of a folder.
func (r *readFiles) addAll(path string) {
	_ = filepath.WalkDir(path, func(name string, _ fs.DirEntry, _ error) error {
		r.add(name)
		return nil // who reads it says what is wrong
	})
}

// refuse returns an error where a file is one that is read.
func (r *readFiles) refuse(path string) error {
	there, err := os.Stat(path)
	if err != nil {
		return nil
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if slices.ContainsFunc(r.files, func(read os.FileInfo) bool { return os.SameFile(read, there) }) {
		return wrongUsage(fmt.Errorf("found %s among what is read, want another file to write", path))
	}
	return nil
}

// sameFile reports whether two names are of one file, whether it is there or not.
func sameFile(a, b string) bool {
	there, err := os.Stat(a)
	other, otherErr := os.Stat(b)
	if err == nil && otherErr == nil {
		return os.SameFile(there, other)
	}
	return whole(a) == whole(b)
}

// whole spells the name of a file that need not be there in one way.
func whole(path string) string {
	folder, err := filepath.EvalSymlinks(filepath.Dir(path))
	if err != nil {
		folder = filepath.Dir(path)
	}
	name, err := filepath.Abs(filepath.Join(folder, filepath.Base(path)))
	if err != nil {
		return path
	}
	return name
}

// outputFlags name the files that a command writes; the one of writeFlag it reads
// and changes.
var outputFlags = []string{"output", "record", "final"}

const writeFlag = "update"

// formerWriteFlag is the former name of writeFlag, which goes on.
const formerWriteFlag = "write"

// guardFiles has a command and those below it look, before they do anything, that
// no file that they write is one that they read, or written twice.
func guardFiles(cmd *cobra.Command) {
	if run := cmd.RunE; run != nil {
		cmd.RunE = func(cmd *cobra.Command, args []string) error {
			if err := checkFiles(cmd, args); err != nil {
				return err
			}
			return run(cmd, args)
		}
	}
	for _, sub := range cmd.Commands() {
		guardFiles(sub)
	}
}

func checkFiles(cmd *cobra.Command, args []string) error {
	outputs, changed := noteFiles(cmd, args)
	for _, path := range outputs {
		if err := inputs.refuse(path); err != nil {
			return err
		}
	}
	return distinct(append(outputs, changed...))
}

// noteFiles notes the files that a command line names to be read, and returns
// those to be written, and to be changed.
func noteFiles(cmd *cobra.Command, args []string) (outputs, changed []string) {
	read := slices.Clone(args)
	cmd.Flags().Visit(func(flag *pflag.Flag) {
		values := []string{flag.Value.String()}
		if several, ok := flag.Value.(pflag.SliceValue); ok {
			values = several.GetSlice()
		}
		switch {
		case slices.Contains(outputFlags, flag.Name):
			outputs = append(outputs, values...)
		case flag.Name == writeFlag, flag.Name == formerWriteFlag:
			changed = append(changed, values...)
		default:
			read = append(read, values...)
		}
	})
	for _, path := range read {
		inputs.add(path)
	}
	return outputs, changed
}

// distinct refuses two outputs that are one file.
func distinct(outputs []string) error {
	for i, path := range outputs {
		if slices.ContainsFunc(outputs[:i], func(other string) bool { return sameFile(path, other) }) {
			return wrongUsage(fmt.Errorf("found %s as two outputs, want a file for each", path))
		}
	}
	return nil
}
