package plan

import (
	"bytes"
	"errors"
	"fmt"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// A path names a value of the file: keys and array indices, each with sep
// before it. The bytes can stand in no TOML key, which is valid UTF-8, so two
// different places never share a path.
const (
	sep   = "\xff"
	index = "\xfe" // begins an array index
)

func join(path, key string) string { return path + sep + key }

func element(path string, i int) string { return fmt.Sprintf("%s%s%s%d", path, sep, index, i) }

// A place is where a value stands, as byte offsets of its key and itself.
type place struct{ key, value int }

// parse reads the TOML into generic values and indexes their places. The
// decoder into Go types would stop at the first value of a wrong type and
// knows no places for good ones, so it is only trusted with the syntax.
func (r *reader) parse(text []byte) (map[string]any, bool) {
	r.text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")) // an editor's mark, not a character of the plan
	if wide(text) {
		r.problems = append(r.problems, Problem{File: r.file, Line: 1, Column: 1, Level: Error, Rule: "encoding",
			Text: "this is text in UTF-16, of two bytes a letter", Hint: "save it as UTF-8: editors ask for the encoding under Save as"})
		return nil, false
	}
	values := map[string]any{}
	if err := toml.Unmarshal(r.text, &values); err != nil {
		r.syntaxError(err)
		return nil, false
	}
	places := indexer{places: map[string]place{}, arrays: map[string]int{}, deep: -1}
	places.file(r.text)
	r.places = places.places
	if places.deep >= 0 {
		r.add(places.deep, "", note{Error, "too-deep", "a key or a list is nested deeper than any plan needs", "write the tables as the example plan does, such as [adhesive.EPX.interval]"})
	}
	return values, places.deep < 0
}

// wide reports whether a text is UTF-16: by its mark, or by a zero byte beside its first letter.
func wide(text []byte) bool {
	if len(text) < 2 {
		return false
	}
	mark := string(text[:2])
	return mark == "\xff\xfe" || mark == "\xfe\xff" || (text[0] == 0) != (text[1] == 0)
}

func (r *reader) syntaxError(err error) {
	line, column := 1, 1
	var decode *toml.DecodeError
	if errors.As(err, &decode) {
		line, column = decode.Position()
	}
	line, column = r.lineColumn(r.offset(line, column))
	r.problems = append(r.problems, Problem{File: r.file, Line: line, Column: column, Level: Error, Rule: "syntax",
		Text: "this is not TOML: " + clean(err), Hint: "text stands in quotes, tables in [brackets]; further problems show when this is put right"})
}

func clean(err error) string {
	const own = "toml: "
	text := err.Error()
	if len(text) > len(own) && text[:len(own)] == own {
		return text[len(own):]
	}
	return text
}

// offset is the reverse of the decoder's line and byte column.
func (r *reader) offset(line, column int) int {
	at := 0
	for ; line > 1; line-- {
		end := bytes.IndexByte(r.text[at:], '\n')
		if end < 0 {
			break
		}
		at += end + 1
	}
	return min(at+max(column, 1)-1, len(r.text))
}

// lineColumn counts lines and characters from 1.
func (r *reader) lineColumn(offset int) (line, column int) {
	before := r.text[:min(offset, len(r.text))]
	start := bytes.LastIndexByte(before, '\n') + 1
	return bytes.Count(before, []byte("\n")) + 1, utf8.RuneCount(before[start:]) + 1
}

// An indexer finds the place of every value. It walks the same syntax tree as
// the decoder, one expression at a time.
type indexer struct {
	places map[string]place
	arrays map[string]int // tables seen so far of every [[array]]
	parser unstable.Parser
	deep   int // where a path becomes too long; -1: nowhere
}

func (x *indexer) file(text []byte) {
	x.parser.Reset(text)
	table := ""
	for x.parser.NextExpression() {
		switch n := x.parser.Expression(); n.Kind {
		case unstable.Table:
			table = x.header(n)
		case unstable.ArrayTable:
			table = x.arrayHeader(n)
		case unstable.KeyValue:
			x.keyValue(table, n)
		}
	}
}

// header enters [a.b.c]. A step into an array of tables means its last one.
func (x *indexer) header(n *unstable.Node) string {
	path := ""
	for it := n.Key(); it.Next(); {
		path = x.lastElement(x.step(path, it.Node()))
	}
	return path
}

func (x *indexer) arrayHeader(n *unstable.Node) string {
	path, at := "", 0
	for it := n.Key(); it.Next(); {
		path, at = x.step(x.lastElement(path), it.Node()), int(it.Node().Raw.Offset)
	}
	x.arrays[path]++
	path = x.lastElement(path)
	x.places[path] = place{at, at}
	return path
}

func (x *indexer) lastElement(path string) string {
	if n := x.arrays[path]; n > 0 {
		return element(path, n-1)
	}
	return path
}

// deepest is how long a path may become: ten times the longest of a real plan. The places of one that went
// on would take the square of its length.
const deepest = 1000

// step goes to a key and notes where it was first met.
func (x *indexer) step(path string, key *unstable.Node) string {
	if x.tooDeep(path, int(key.Raw.Offset)) {
		return path
	}
	path = join(path, string(key.Data))
	if _, met := x.places[path]; !met {
		at := int(key.Raw.Offset)
		x.places[path] = place{at, at}
	}
	return path
}

// tooDeep reports whether a path is too long to go on, and remembers where first.
func (x *indexer) tooDeep(path string, at int) bool {
	if len(path) > deepest && x.deep < 0 {
		x.deep = at
	}
	return len(path) > deepest
}

func (x *indexer) keyValue(path string, n *unstable.Node) {
	for it := n.Key(); it.Next(); {
		path = x.step(path, it.Node())
	}
	x.value(path, x.places[path].key, n.Value())
}

// value notes where a value stands; parent stands in for an array, of which
// the parser gives no place.
func (x *indexer) value(path string, key int, n *unstable.Node) {
	at := key
	if x.tooDeep(path, at) {
		return
	}
	if n.Raw.Length > 0 {
		at = int(n.Raw.Offset)
	}
	x.places[path] = place{key, at}
	i := 0
	for it := n.Children(); it.Next(); i++ {
		switch child := it.Node(); {
		case n.Kind == unstable.InlineTable:
			x.keyValue(path, child)
		case n.Kind == unstable.Array:
			x.value(element(path, i), at, child)
		}
	}
}
