// Package card turns the video files of a camera's card into clips: what the
// camera recorded, in order, with lengths and starts.
//
// Package bmff reads the files' own headers; package folder reads the file
// system. [New] combines the two:
//
//  1. Files that are no video are ignored, and so are smaller copies that the
//     camera keeps of its own clips.
//  2. The header of a file says when it was made. Depending on the camera, that
//     is the start or the end of the clip. The flights decide it ([Card.Settle]),
//     or else the times in the file system, which are those of the ends.
//  3. A file without a time in its header starts at its time in the file system
//     less its length. That is exact to 2 s, the steps of FAT.
//  4. Files that follow each other within a second by their headers are parts of
//     one clip and are joined.
//  5. A file that the camera never closed is a clip of unknown length.
package card

import (
	"cmp"
	"path"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/bmff"
)

// File is a file of the card.
type File struct {
	Name     string // path within the card, with /
	Size     int64
	Modified sim.Micros // time in the file system, since 1970
	Header   bmff.Header
	// Err says why there is no header: [bmff.ErrNoVideo] if the file is no
	// video, any other error if it could not be read.
	Err error
}

// times says what the time in a header is.
type times string

// The possible meanings of the time in a header.
const (
	headerBegin times = "begin"
	headerEnd   times = "end"
)

// fileTimeError is the error of a start from the file system.
const fileTimeError = 2 * sim.Second

// Card is the contents of a card.
type Card struct {
	videos []File
	copies []File // smaller copies, left out
	others []File // no video, ignored
	broken []File // could not be read
	times  times
	how    string // how the meaning of the times was settled
	clips  []clip
	// trusted says that the times in the file system are when the files were
	// closed; shift is how much later they are than those of the headers.
	trusted bool
	shift   sim.Micros
}

// New makes a card from its files. It settles the meaning of their times as far as
// the files show it.
func New(files []File) *Card {
	c := &Card{}
	for _, f := range files {
		switch {
		case f.Err == bmff.ErrNoVideo:
			c.others = append(c.others, f)
		case f.Err != nil:
			c.broken = append(c.broken, f)
		default:
			c.videos = append(c.videos, f)
		}
	}
	for _, list := range [][]File{c.videos, c.others, c.broken} {
		slices.SortStableFunc(list, func(a, b File) int { return compareNames(a.Name, b.Name) })
	}
	c.leaveOutCopies()
	c.settleByFiles()
	return c
}

// leaveOutCopies leaves out the small copies that a camera keeps beside its clips.
// A copy is as long as another file, less than half its size, and has the same
// time or name.
func (c *Card) leaveOutCopies() {
	large := slices.Clone(c.videos)
	slices.SortStableFunc(large, func(a, b File) int { return cmp.Compare(b.Size, a.Size) })
	byTime, byName := map[sim.Micros][]File{}, map[string][]File{}
	copies := map[string]bool{}
	for _, f := range large {
		isCopy := func(of File) bool {
			off := max(of.Header.Length-f.Header.Length, f.Header.Length-of.Header.Length)
			return f.Header.Length > 0 && off < sim.Second/2 && f.Size < of.Size/2
		}
		if slices.ContainsFunc(byTime[f.Header.Created], isCopy) || slices.ContainsFunc(byName[stem(f.Name)], isCopy) {
			copies[f.Name] = true
			continue
		}
		if f.Header.Created != 0 {
			byTime[f.Header.Created] = append(byTime[f.Header.Created], f)
		}
		byName[stem(f.Name)] = append(byName[stem(f.Name)], f)
	}
	c.videos = slices.DeleteFunc(c.videos, func(f File) bool {
		if copies[f.Name] {
			c.copies = append(c.copies, f)
		}
		return copies[f.Name]
	})
}

// stem returns a name without its extension.
func stem(name string) string { return strings.TrimSuffix(name, path.Ext(name)) }

// compareNames compares names, and the numbers in them as numbers: 9 comes before
// 10.
func compareNames(a, b string) int {
	for a != "" && b != "" {
		na, nb := leadingDigits(a), leadingDigits(b)
		if na == "" || nb == "" {
			if a[0] != b[0] {
				return cmp.Compare(a[0], b[0])
			}
			a, b = a[1:], b[1:]
			continue
		}
		va, vb := strings.TrimLeft(na, "0"), strings.TrimLeft(nb, "0")
		if by := cmp.Or(cmp.Compare(len(va), len(vb)), cmp.Compare(va, vb), cmp.Compare(len(na), len(nb))); by != 0 {
			return by
		}
		a, b = a[len(na):], b[len(nb):]
	}
	return cmp.Compare(len(a), len(b))
}

func leadingDigits(text string) string {
	return text[:len(text)-len(strings.TrimLeft(text, "0123456789"))]
}
