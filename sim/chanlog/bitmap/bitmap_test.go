package bitmap

import (
	"bytes"
	"math/bits"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// genText draws texts of the bytes of rows, and now and then of any bytes.
func genText(t *rapid.T) []byte {
	of := rapid.OneOf(rapid.SampledFrom([]byte(",;\n\"0-.\t\r")), rapid.SampledFrom([]byte("0123456789")), rapid.Byte())
	text := rapid.SliceOfN(of, 0, 300).Draw(t, "text")
	return bytes.Repeat(text, rapid.IntRange(1, 40).Draw(t, "repeats"))
}

// needFast skips a test where no map can be drawn.
func needFast(t testing.TB) {
	if !Fast {
		t.Skip("this machine lacks the vector instructions")
	}
}

// The map agrees with each byte of the text.
func TestMapShowsEachByte(t *testing.T) {
	needFast(t)
	rapid.Check(t, func(t *rapid.T) {
		text, delim := genText(t), rapid.SampledFrom([]byte(",;\t")).Draw(t, "delimiter")
		m := new(Map)
		m.Draw(bytes.Repeat([]byte{delim}, MaxSize), delim) // to be overwritten
		size := m.Draw(text, delim)
		require.LessOrEqual(t, len(text)-size, max(span-1, len(text)-MaxSize))
		delims, ends := 0, 0
		for at, b := range text[:size] {
			isEnd := b == '\n' || b == '"'
			require.Equal(t, Of(delims, ends), m.Count(at), "at %d", at)
			require.Equal(t, delims, m.CountDelims(at), "at %d", at)
			require.Equal(t, b == delim, m.Delims(at)&1 == 1, "at %d", at)
			require.Equal(t, isEnd, m.Ends(at)&1 == 1, "at %d", at)
			if b == delim {
				delims++
			}
			if isEnd {
				ends++
			}
		}
	})
}

// A map shows the next delimiter within Ahead, and none beyond its end.
func TestMapLooksAhead(t *testing.T) {
	needFast(t)
	for size := span; size <= MaxSize; size += 7 * span {
		text := bytes.Repeat([]byte("0"), size)
		for _, at := range []int{0, 1, 63, size/2 + 5, size - 1} {
			text[at] = ','
			m := new(Map)
			m.Draw(bytes.Repeat([]byte(","), MaxSize), ',')
			require.Equal(t, size, m.Draw(text, ','))
			for from := max(0, at-Ahead+1); from <= at; from++ {
				require.Equal(t, at-from, bits.TrailingZeros64(m.Delims(from)), "%d from %d of %d", at, from, size)
			}
			if at < size-1 {
				require.Zero(t, m.Delims(at+1)&(1<<Ahead-1), "after %d of %d", at, size)
			}
			text[at] = '0'
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	needFast(b)
	text := bytes.Repeat([]byte("1234567,-12,0.015,16.20,2000\n"), MaxSize/29+1)[:MaxSize]
	b.SetBytes(MaxSize)
	var m Map
	for b.Loop() {
		m.Draw(text, ',')
	}
}

func TestMapOfTwoLines(t *testing.T) {
	needFast(t)
	text := []byte("12000,1000\n13000,2000\n" + string(make([]byte, 64)))
	var m Map
	m.Draw(text, ',')
	end := bits.TrailingZeros64(m.Ends(0))
	require.Equal(t, 10, end)
	require.Equal(t, 1, m.Count(end).Delims())
	require.Equal(t, 5, bits.TrailingZeros64(m.Delims(end+1)))
}
