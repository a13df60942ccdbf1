package folders

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// mostText limits flight.toml and seen.txt.
const mostText = 1 << 20

// readText reads a short text.
func readText(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, mostText+1))
	if err == nil && len(text) > mostText {
		err = fmt.Errorf("found more than %d bytes, want a few lines", mostText)
	}
	return text, err
}

// applySettings applies flight.toml. Paths in it are relative to its folder.
func (o *Outing) applySettings(path string) error {
	text, err := readText(path)
	if err != nil {
		return err
	}
	var said struct {
		Rig   string   `toml:"rig"`
		Clips []string `toml:"clips"`
		Seen  []string `toml:"seen"`
		Note  string   `toml:"note"`
	}
	decoder := toml.NewDecoder(bytes.NewReader(text)).DisallowUnknownFields()
	if err := decoder.Decode(&said); err != nil {
		var at *toml.DecodeError
		if errors.As(err, &at) {
			line, column := at.Position()
			return fmt.Errorf("line %d, column %d: found %w, want rig, clips, seen or note", line, column, err)
		}
		return fmt.Errorf("found another key than rig, clips, seen or note")
	}
	from := func(name string) string {
		if filepath.IsAbs(name) {
			return name
		}
		return filepath.Join(filepath.Dir(path), name)
	}
	o.Note, o.Seen = said.Note, append(o.Seen, said.Seen...)
	if said.Rig != "" {
		o.Rig = from(said.Rig)
	}
	for _, clips := range said.Clips {
		o.addList(from(clips))
	}
	return nil
}

// readGlances reads seen.txt.
func (o *Outing) readGlances(path string) error {
	text, err := readText(path)
	if err != nil {
		return err
	}
	for line := range strings.Lines(string(text)) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			o.Seen = append(o.Seen, line)
		}
	}
	return nil
}
