package plan

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"github.com/pelletier/go-toml/v2"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A reader collects problems while the tables of one file are read.
type reader struct {
	file     string
	text     []byte
	units    quantity.System // of the bond, for examples
	places   map[string]place
	asked    map[string][]string // the keys looked for in every table; others are unknown
	ordered  map[string][]string // the keys of a table in file order
	problems []Problem
}

// A table is one table of the file, or the lack of it: then every key is
// missing, and problems stand where the parent does.
type table struct {
	r      *reader
	path   string
	name   string // for people: "adhesive.EPX", "rig[1].gauge"
	values map[string]any
	absent bool
}

func (r *reader) root(values map[string]any) table { return table{r: r, values: values} }

// title names the table in a sentence.
func (t table) title() string { return cmp.Or(t.name, "the plan") }

// child names a key of the table as the file would.
func (t table) child(key string) string {
	if !bareKey().MatchString(key) {
		key = fmt.Sprintf("%q", key)
	}
	return strings.TrimPrefix(t.name+"."+key, ".")
}

func bareKey() *regexp.Regexp { return regexp.MustCompile(`^[A-Za-z0-9_-]+$`) }

func (t table) ask(key string) {
	if !slices.Contains(t.r.asked[t.path], key) {
		t.r.asked[t.path] = append(t.r.asked[t.path], key)
	}
}

// has reports whether the key is there, whatever its type.
func (t table) has(key string) bool {
	_, ok := t.values[key]
	return ok
}

// keys lists the keys in file order. A table is asked for them once for each of them.
func (t table) keys() []string {
	if known, ok := t.r.ordered[t.path]; ok {
		return known
	}
	at := map[string]int{}
	for key := range t.values {
		at[key] = t.r.places[join(t.path, key)].key
	}
	keys := slices.SortedFunc(maps.Keys(at), func(a, b string) int { return cmp.Compare(at[a], at[b]) })
	t.r.ordered[t.path] = keys
	return keys
}

// A note is a Problem before it has a place.
type note struct{ level, rule, text, hint string }

// at reports a problem of the value of a key; of the table where there is none.
func (t table) at(key string, n note) {
	p, ok := t.r.places[join(t.path, key)]
	if !ok {
		t.here(key, n)
		return
	}
	t.r.add(p.value, t.child(key), n)
}

// atKey reports a problem of the key itself.
func (t table) atKey(key string, n note) {
	t.r.add(t.r.places[join(t.path, key)].key, t.child(key), n)
}

// here reports a problem of the table, such as a key that it lacks.
func (t table) here(key string, n note) {
	name := t.name
	if key != "" {
		name = t.child(key)
	}
	t.r.add(t.r.places[t.path].value, name, n)
}

func (r *reader) add(offset int, key string, n note) {
	line, column := r.lineColumn(offset)
	r.problems = append(r.problems, Problem{File: r.file, Line: line, Column: column, Key: key, Level: n.level, Rule: n.rule, Text: n.text, Hint: n.hint})
}

// sub enters a table that may be missing.
func (t table) sub(key string) table {
	sub := table{r: t.r, path: join(t.path, key), name: t.child(key), absent: true}
	if values, ok := get[map[string]any](t, key); ok {
		sub.values, sub.absent = values, false
		if t.r.asked[sub.path] == nil {
			t.r.asked[sub.path] = []string{}
		}
	}
	return sub
}

// need enters a table that must be there; hint says how to add it.
func (t table) need(key, hint string) table {
	sub := t.sub(key)
	if sub.absent && !t.has(key) {
		t.here(key, note{Error, "missing", t.title() + " has no " + key, hint})
	}
	return sub
}

// list enters every table of an array of tables.
func (t table) list(key string) []table {
	items, _ := get[[]any](t, key)
	var tables []table
	for i, item := range items {
		sub := table{r: t.r, path: element(join(t.path, key), i), name: fmt.Sprintf("%s[%d]", t.child(key), i+1)}
		values, ok := item.(map[string]any)
		if !ok {
			t.r.add(t.r.places[sub.path].value, sub.name, wrongType(sub.name, map[string]any{}, item))
			continue
		}
		sub.values = values
		t.r.asked[sub.path] = []string{}
		tables = append(tables, sub)
	}
	return tables
}

// get reads a key that may be missing; a value of another type is a problem.
func get[T any](t table, key string) (T, bool) {
	t.ask(key)
	var zero T
	raw, ok := t.values[key]
	if !ok {
		return zero, false
	}
	v, ok := raw.(T)
	if !ok {
		t.at(key, wrongType(t.child(key), zero, raw))
	}
	return v, ok
}

func wrongType(key string, want, got any) note {
	return note{Error, "wrong-type", fmt.Sprintf("%s is %s, not %s", key, typeName(got), typeName(want)), "write " + typeHint(want)}
}

func typeName(v any) string {
	switch v.(type) {
	case string:
		return "text"
	case int64:
		return "a whole number"
	case float64:
		return "a number with decimals"
	case bool:
		return "true or false"
	case map[string]any:
		return "a table"
	case []any:
		return "a list"
	}
	return timeName(v)
}

func timeName(v any) string {
	switch v.(type) {
	case toml.LocalDate:
		return "a date without a time"
	case toml.LocalTime:
		return "a time without a date"
	}
	return "a date and time"
}

func typeHint(v any) string {
	switch v.(type) {
	case string:
		return "it in quotes, a quantity with its unit"
	case int64:
		return "it without quotes or decimals"
	case bool:
		return "true or false without quotes"
	case map[string]any:
		return "a [table] or { key = value }"
	case []any:
		return "it as [ ... ] or, for tables, [[ ... ]]"
	case toml.LocalDateTime:
		return "2026-02-21T13:30:00 without quotes"
	}
	return "it as in the example plan"
}

// needText reads a text that must be there and say something.
func (t table) needText(key string) string {
	s, ok := t.someText(key)
	if !ok && !t.has(key) && !t.absent {
		t.here(key, note{Error, "missing", fmt.Sprintf("%s has no %s", t.title(), key), fmt.Sprintf("add %s = \"...\"", key)})
	}
	return s
}

// someText reads a text that may be missing but must not be empty. What cannot be
// printed in it, such as a line end, is read as a gap.
func (t table) someText(key string) (string, bool) {
	s, ok := get[string](t, key)
	s = strings.TrimSpace(s)
	if strings.ContainsFunc(s, unicode.IsControl) {
		s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return unicode.IsControl(r) || r == ' ' }), " ")
		t.at(key, note{Warning, "unprintable", fmt.Sprintf("%s has characters that cannot be printed, and is read as %q", t.child(key), s), "write it in one line, of letters, digits and signs"})
	}
	if ok && s == "" {
		t.at(key, note{Error, "empty", t.child(key) + " is empty", "write something or leave the key out"})
	}
	return s, ok && s != ""
}

// parsed reads a text that parse understands.
func parsed[T any](t table, key string, rule string, parse func(string) (T, error)) (v T, ok bool) {
	s, ok := get[string](t, key)
	if !ok {
		return v, false
	}
	v, err := parse(s)
	if err != nil && notKnown(s) {
		t.at(key, note{Error, rule, fmt.Sprintf("%s is %q", t.child(key), s), "leave the key out where it is not known"})
		return v, false
	}
	if err != nil {
		t.at(key, badValue(rule, err))
		return v, false
	}
	return v, true
}

// notKnown reports whether a text says in some way that a value is not known.
func notKnown(s string) bool {
	return slices.Contains([]string{"", "?", "unknown", "notknown", "none", "n/a", "na", "tbd"}, tracker.PlainWord(strings.Trim(s, " ?.")))
}

// badValue makes a problem of a parser's error; those of quantities know a hint.
func badValue(rule string, err error) note {
	var q *quantity.Error
	if errors.As(err, &q) {
		return note{Error, rule, fmt.Sprintf("%s %.60q %s", q.Kind, q.Input, q.Problem), q.Hint}
	}
	return note{Error, rule, err.Error(), ""}
}

// positive reads a quantity that has no meaning at zero.
func positive[T ~float64 | ~int64](t table, key string, rule string, parse func(string) (T, error)) T {
	v, ok := parsed(t, key, rule, parse)
	if ok && v <= 0 {
		t.notPositive(key)
	}
	return v
}

func (t table) notPositive(key string) {
	t.at(key, note{Error, "not-positive", t.child(key) + " must be more than nothing", "write the real figure or leave the key out"})
}

// count reads a whole number from 1 to most, or 0 where the key is missing.
func (t table) count(key string, most int64) int {
	n, ok := get[int64](t, key)
	if ok && (n < 1 || n > most) {
		t.at(key, note{Error, "count", fmt.Sprintf("%s is %d, which is not from 1 to %d", t.child(key), n, most), "write a whole number in that range"})
		return 0
	}
	return int(n)
}

// shareOf reads a share that cannot exceed the whole.
func (t table) shareOf(key string) (quantity.Share, bool) {
	v, ok := parsed(t, key, "share", quantity.ParseShare)
	if ok && v > 1 {
		t.at(key, note{Error, "over-100", t.child(key) + " is more than 100 %", "write a share from 0 % to 100 %"})
	}
	return v, ok
}
