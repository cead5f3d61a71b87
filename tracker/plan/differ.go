package plan

import (
	"fmt"
	"slices"
	"strings"
)

// A Difference is one value that two plan files give differently, in the words
// of the files.
type Difference struct {
	Key      string // "interval.soak", "adhesive.EPX.name", "wood.boards.A.size"
	Old, New string // as written; empty where that file has no such value
}

// Differences lists what two plan files give differently, value by value: in
// the order of the new one, then what only the old one has, in its order.
// Layout, comments and the order of tables make no difference. Both must be
// TOML.
func Differences(old, new []byte) ([]Difference, error) {
	before, err := leavesOf(old)
	if err != nil {
		return nil, err
	}
	after, err := leavesOf(new)
	if err != nil {
		return nil, err
	}
	var all []Difference
	for _, l := range after {
		if was := before.text(l.key); was != l.text {
			all = append(all, Difference{l.key, was, l.text})
		}
	}
	for _, l := range before {
		if !after.has(l.key) {
			all = append(all, Difference{l.key, l.text, ""})
		}
	}
	return all, nil
}

// A leaf is one value of a file that holds no others.
type leaf struct {
	key, text string
	at        int
}

type leaves []leaf

func (l leaves) has(key string) bool {
	return slices.ContainsFunc(l, func(x leaf) bool { return x.key == key })
}

func (l leaves) text(key string) string {
	for _, x := range l {
		if x.key == key {
			return x.text
		}
	}
	return ""
}

func leavesOf(text []byte) (leaves, error) {
	r := &reader{file: "plan", asked: map[string][]string{}}
	values, ok := r.parse(text)
	if !ok {
		return nil, r.problems[0]
	}
	var all leaves
	all.table("", "", values, r)
	slices.SortStableFunc(all, func(a, b leaf) int { return a.at - b.at })
	return all, nil
}

func (l *leaves) table(path, key string, values map[string]any, r *reader) {
	for name, value := range values {
		l.value(join(path, name), strings.TrimPrefix(key+"."+name, "."), value, r)
	}
}

func (l *leaves) value(path, key string, value any, r *reader) {
	switch v := value.(type) {
	case map[string]any:
		l.table(path, key, v, r)
		if len(v) == 0 {
			*l = append(*l, leaf{key, "a table", r.places[path].value})
		}
	case []any:
		l.list(path, key, v, r)
	default:
		*l = append(*l, leaf{key, fmt.Sprint(v), r.places[path].value})
	}
}

// list names the elements of a list of tables by their name, so that one put
// in between does not change all that follow.
func (l *leaves) list(path, key string, values []any, r *reader) {
	met := map[string]bool{}
	for i, v := range values {
		name := fmt.Sprint(i + 1)
		if t, ok := v.(map[string]any); ok {
			if own, ok := t["name"].(string); ok && !met[own] {
				name = own
			}
		}
		met[name] = true
		l.value(element(path, i), key+"."+name, v, r)
	}
}
