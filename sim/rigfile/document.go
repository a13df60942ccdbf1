package rigfile

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// document is a decoded TOML document with the place of every value. The decoder
// gives the values, the parser the places.
type document struct {
	source      source
	root        map[string]any
	places      map[string]place // by path: "camera", "switch.press[0][1]"
	expressions []expression     // in file order
}

// place is where a key and its value are, as offsets into the source. The place
// of a table is its first mention.
type place struct{ key, start, end int }

// expression is a table header or a key with its value.
type expression struct {
	table string // the table header above it; a header's own path
	path  string // of the key or table it defines
	// Offsets in the source; the start of a header is inside its brackets.
	start, end int
}

// isHeader reports whether the expression is a table header.
func (e expression) isHeader() bool { return e.path == e.table }

// newDocument decodes and indexes a document.
func newDocument(src source) (*document, *fault) {
	d := &document{source: src, places: map[string]place{}}
	if wrong := d.index(); wrong != nil {
		return nil, wrong
	}
	if err := toml.Unmarshal(src.data, &d.root); err != nil {
		var at *toml.DecodeError
		if !errors.As(err, &at) {
			panic("internal error: TOML decoder without a position: " + err.Error())
		}
		row, column := at.Position()
		return nil, src.syntaxFault(src.offset(row, column), strings.TrimPrefix(at.Error(), "toml: "))
	}
	return d, nil
}

// index records the place of every key and value.
func (d *document) index() *fault {
	var p unstable.Parser
	p.Reset(d.source.data)
	table, inArray := "", false
	for p.NextExpression() {
		node := p.Expression()
		switch node.Kind {
		case unstable.Table, unstable.ArrayTable:
			path, last := d.indexKey("", node.Key())
			table, inArray = path, node.Kind == unstable.ArrayTable
			d.expressions = append(d.expressions, expression{path, path, int(last.Raw.Offset), end(last)})
		case unstable.KeyValue:
			// The rig file has no array of tables, so its place is enough.
			if !inArray {
				path := d.indexPair(table, node)
				d.expressions = append(d.expressions, expression{table, path, int(node.Raw.Offset), end(node)})
			}
		default:
			panic(fmt.Sprintf("internal error: TOML expression of kind %v", node.Kind))
		}
	}
	err := p.Error()
	if err == nil {
		return nil
	}
	var at *unstable.ParserError
	if !errors.As(err, &at) {
		panic("internal error: TOML parser without a position: " + err.Error())
	}
	return d.source.syntaxFault(int(p.Range(at.Highlight).Offset), at.Message)
}

// end returns the offset after a node that has a range.
func end(n *unstable.Node) int { return int(n.Raw.Offset + n.Raw.Length) }

// indexKey records the first mention of each table in a dotted key and returns
// the key's path and last part.
func (d *document) indexKey(table string, parts unstable.Iterator) (path string, last *unstable.Node) {
	path = table
	for parts.Next() {
		last = parts.Node()
		path = keyPath(path, string(last.Data))
		if _, known := d.places[path]; !known {
			at := int(last.Raw.Offset)
			d.places[path] = place{at, at, end(last)}
		}
	}
	return path, last
}

// indexPair records a key and its value and returns the key's path.
func (d *document) indexPair(table string, pair *unstable.Node) string {
	path, last := d.indexKey(table, pair.Key())
	start := d.skip(end(last), " \t=")
	d.places[path] = place{int(last.Raw.Offset), start, d.indexValue(path, pair.Value(), start)}
	return path
}

// indexValue records the places inside a value that begins at start and returns
// where it ends. Arrays and tables have no end of their own in the parse tree.
func (d *document) indexValue(path string, node *unstable.Node, start int) int {
	const between = " \t\r\n,"
	at := start + 1
	children := node.Children()
	switch node.Kind {
	case unstable.Array:
		for i := 0; children.Next(); i++ {
			at = d.skip(at, between)
			element := elementPath(path, i)
			stop := d.indexValue(element, children.Node(), at)
			d.places[element] = place{at, at, stop}
			at = stop
		}
	case unstable.InlineTable:
		for children.Next() {
			d.indexPair(path, children.Node())
			at = end(children.Node())
		}
	default:
		return end(node)
	}
	return d.skip(at, between) + 1
}

// skip returns the first offset from at on that is past the given characters
// and any comments.
func (d *document) skip(at int, characters string) int {
	for inComment := false; ; at++ {
		switch c := d.source.data[at]; {
		case c == '#':
			inComment = true
		case c == '\n' && inComment:
			inComment = false
		case !inComment && strings.IndexByte(characters, c) < 0:
			return at
		}
	}
}

// keyPath appends a part to a dotted key, quoted if it must be.
func keyPath(table, part string) string {
	if !isBareKey(part) {
		part = strconv.Quote(part)
	}
	if table == "" {
		return part
	}
	return table + "." + part
}

// isBareKey reports whether TOML allows a key without quotes.
func isBareKey(key string) bool {
	const bare = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-"
	return key != "" && strings.Trim(key, bare) == ""
}

func elementPath(array string, i int) string { return fmt.Sprintf("%s[%d]", array, i) }
