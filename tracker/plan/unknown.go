package plan

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/labels"
	"soaktag/tracker"
)

// unknownKeys reports every key that nothing looked for, in every table that
// something entered. What lies inside an unknown key is not reported again.
func (r *reader) unknownKeys(t table) {
	asked := r.asked[t.path]
	for _, key := range t.keys() {
		if !slices.Contains(asked, key) {
			t.atKey(key, note{Error, "unknown-key", fmt.Sprintf("%s is not a key known here", t.child(key)), hintFor(key, asked)})
			continue
		}
		r.inside(join(t.path, key), t.child(key), t.values[key])
	}
}

// inside goes on into a table or the tables of a list.
func (r *reader) inside(path, name string, value any) {
	switch v := value.(type) {
	case map[string]any:
		if _, entered := r.asked[path]; entered {
			r.unknownKeys(table{r: r, path: path, name: name, values: v})
		}
	case []any:
		for i, item := range v {
			r.inside(element(path, i), fmt.Sprintf("%s[%d]", name, i+1), item)
		}
	}
}

// hintFor names the nearest of the keys known, or all of them.
func hintFor(key string, known []string) string {
	if near := nearest(key, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	if len(known) == 0 {
		return "take it out"
	}
	return "known here: " + strings.Join(known, ", ")
}

// nearest returns the word that s is most likely a slip for, or "".
func nearest(s string, words []string) string {
	best, at := 1+min(2, len([]rune(s))/2), ""
	for _, w := range words {
		if d := labels.Distance(tracker.PlainWord(s), tracker.PlainWord(w)); d < best {
			best, at = d, w
		}
	}
	return at
}
