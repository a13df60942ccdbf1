// Package card turns the video files of a camera's card into clips: what the
// camera recorded, in order, with lengths and starts.
//
// What a file says of itself comes from package bmff, what the file system says
// from whoever reads the folder (package folder). [New] sorts that out:
//
//  1. Files that are no video are left alone, and so are smaller copies that the
//     camera keeps of its own clips.
//  2. A file's header tells when it was made; whether that is when the clip began
//     or when it ended differs from camera to camera (times). What is known of the
//     flights tells which ([Card.Settle]), else the times of the files themselves,
//     which are those of their ends.
//  3. A file without a time in its header gets the file system's, less its length,
//     which is good to 2 s (FAT counts in steps of 2 s).
//  4. Files that follow each other within a second by their headers are parts of
//     one clip, and are joined.
//  5. A file that the camera never closed is a clip whose length nobody knows.
package card

import (
	"cmp"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/bmff"
)

// File is a file of the card, as it was found.
type File struct {
	Name     string // path within the card, with /
	Size     int64
	Modified sim.Micros // by the file system, since 1970
	Header   bmff.Header
	// Err says why there is no header: [bmff.ErrNoVideo] where the file is none,
	// anything else where it could not be read.
	Err error
}

// times says what the time in a header is.
type times string

// What the time in a header can be.
const (
	Begin times = "begin"
	End   times = "end"
)

// fileTimeError is by how much a start may be off that comes from the file
// system: FAT keeps times in steps of 2 s.
const fileTimeError = 2 * sim.Second

// Card is what the files of a card come to.
type Card struct {
	videos []File
	copies []File // smaller ones, left out
	others []File // no video, left alone
	broken []File // could not be read
	times  times
	how    string // the times were settled
	clips  []clip
	// trusted says that the file system's times are those at which the files were
	// closed; shift is how much later they are than the headers'.
	trusted bool
	shift   sim.Micros
}

// New sorts out the files of a card, and settles the meaning of their times as
// far as the files tell it.
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

// leaveOutCopies takes out the small copies that a camera keeps beside its
// clips: as long as another file, less than half its size, and of the same time
// or name.
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
	kept := c.videos[:0]
	for _, f := range c.videos {
		if copies[f.Name] {
			c.copies = append(c.copies, f)
		} else {
			kept = append(kept, f)
		}
	}
	c.videos = kept
}

// stem is a name without its ending.
func stem(name string) string {
	if dot := strings.LastIndexByte(name, '.'); dot > strings.LastIndexByte(name, '/') {
		return name[:dot]
	}
	return name
}

// compareNames compares names as people number them: 9 before 10.
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
