package main

import (
	"encoding/xml"
	"fmt"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The pictures of README.md: a timing chart and a page of the demo's flight, and
// a screen of practice. With -update they are drawn again; the page needs chromium.
// Without it they have to be whole pictures, and the chart has to show what
// replay says today.

const pictures = "../../testdata"

func TestReadmeChart(t *testing.T) {
	path, folder := filepath.Join(pictures, "timing.svg"), readmeFiles(t)
	_, said, code := runShell(t, folder, "flicktally chart --rig heron.toml regatta.csv -o timing.svg", time.Minute)
	require.Zero(t, code, said)
	made, err := os.ReadFile(filepath.Join(folder, "timing.svg"))
	require.NoError(t, err)
	renew(t, path, made)
	flights, err := replayDemo()
	require.NoError(t, err)
	require.NotEmpty(t, flights)
	require.Contains(t, svgText(t, path), "5 of 9 flicks toggled")
}

func TestReadmeScreen(t *testing.T) {
	path := filepath.Join(pictures, "trainer.svg")
	screens, err := filepath.Glob("../../trainer/*/testdata/*right-120x40.txt")
	require.NoError(t, err)
	require.Len(t, screens, 1, "the screen of a drill that the tests of trainer hold to the program")
	screen, err := os.ReadFile(screens[0])
	require.NoError(t, err)
	renew(t, path, []byte(screenPicture(strings.Split(strings.TrimRight(string(screen), "\n"), "\n"))))
	require.Contains(t, svgText(t, path), "aim 350 ms")
}

func TestReadmePage(t *testing.T) {
	path := filepath.Join(pictures, "page.png")
	if *update {
		folder := readmeFiles(t)
		_, said, code := runShell(t, folder, "flicktally report --rig heron.toml regatta.csv -o page.html", time.Minute)
		require.Zero(t, code, said)
		photograph(t, folder)
		made, err := os.ReadFile(filepath.Join(folder, "page.png"))
		require.NoError(t, err)
		renew(t, path, made)
	}
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	picture, err := png.Decode(file)
	require.NoError(t, err)
	require.Equal(t, 1280, picture.Bounds().Dx())
}

// photograph takes a picture of the top of the page.
func photograph(t *testing.T, folder string) {
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("no chromium on this machine, so the picture of the page is not made: ", err)
	}
	shot := exec.Command(program, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--window-size=1280,1000", "--screenshot=page.png", "page.html")
	shot.Dir = folder
	said, err := shot.CombinedOutput()
	require.NoError(t, err, string(said))
}

// renew writes a picture, with -update.
func renew(t *testing.T, path string, data []byte) {
	if *update {
		require.NoError(t, os.WriteFile(path, data, 0o666))
	}
}

// svgText returns the text of a picture, which has to be whole.
func svgText(t *testing.T, path string) string {
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	var text strings.Builder
	for decoder := xml.NewDecoder(file); ; {
		token, err := decoder.Token()
		if err == io.EOF {
			return text.String()
		}
		require.NoError(t, err, path)
		if data, isText := token.(xml.CharData); isText {
			text.Write(data)
		}
	}
}

// The cells of a drawn screen, in pixels.
const cellWidth, cellHeight = 9, 18

// blocks are the characters that are drawn as parts of a cell: from left, top,
// width, height, and how dense.
var blocks = map[rune][5]float64{
	'█': {0, 0, 1, 1, 1}, '▀': {0, 0, 1, 0.5, 1}, '▄': {0, 0.5, 1, 0.5, 1}, '░': {0, 0, 1, 1, 0.25}, '│': {0.4, 0, 0.2, 1, 1},
}

// screenPicture draws a screen of text, light on dark: blocks as shapes, so that
// no font decides how they meet.
func screenPicture(lines []string) string {
	width := 0
	for _, line := range lines {
		width = max(width, len([]rune(line)))
	}
	w, h := (width+2)*cellWidth, (len(lines)+1)*cellHeight
	var out strings.Builder
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d">`+"\n", w, h, w, h)
	fmt.Fprintf(&out, `<rect width="%d" height="%d" fill="#16191d"/>`+"\n"+`<g fill="#e6e6e6" font-family="monospace" font-size="15">`+"\n", w, h)
	for row, line := range lines {
		writeRow(&out, []rune(line), float64(row)+0.5)
	}
	out.WriteString("</g>\n</svg>\n")
	return out.String()
}

// writeRow draws a row: runs of equal blocks as one shape, texts as text.
func writeRow(out *strings.Builder, cells []rune, row float64) {
	for begin := 0; begin < len(cells); {
		end := begin + 1
		block, isBlock := blocks[cells[begin]]
		x, y := float64(begin+1)*cellWidth, row*cellHeight
		switch {
		case isBlock:
			for end < len(cells) && cells[end] == cells[begin] && block[2] == 1 {
				end++
			}
			fmt.Fprintf(out, `<rect x="%g" y="%g" width="%g" height="%g" opacity="%g"/>`+"\n", x+block[0]*cellWidth, y+block[1]*cellHeight,
				(block[2]+float64(end-begin-1))*cellWidth, block[3]*cellHeight, block[4])
		case cells[begin] != ' ':
			for end < len(cells) && blocks[cells[end]] == [5]float64{} && !(cells[end] == ' ' && cells[end-1] == ' ') {
				end++
			}
			for cells[end-1] == ' ' {
				end--
			}
			fmt.Fprintf(out, `<text x="%g" y="%g" textLength="%d">`, x, y+0.75*cellHeight, (end-begin)*cellWidth)
			if err := xml.EscapeText(out, []byte(string(cells[begin:end]))); err != nil {
				panic(err) // a strings.Builder takes all
			}
			out.WriteString("</text>\n")
		}
		begin = end
	}
}
