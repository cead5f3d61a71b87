package tables

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"soaktag/schedule"
)

// A field describes one column in datapackage.json.
type field struct {
	Name        string `json:"name"`
	Type        string `json:"type"`
	Format      string `json:"format,omitempty"`
	Unit        string `json:"unit,omitempty"`
	Description string `json:"description"`
}

// A column is a field and how its cell is had from a T.
type column[T any] struct {
	field
	cell func(T) string
}

// A table is one CSV file ready to be written.
type table struct {
	name   string // without .csv
	about  string
	fields []field
	rows   [][]string
}

// newTable fills a table from one T a row.
func newTable[T any](name, about string, columns []column[T], of []T) table {
	t := table{name: name, about: about}
	for _, c := range columns {
		t.fields = append(t.fields, c.field)
	}
	for _, x := range of {
		row := make([]string, len(columns))
		for i, c := range columns {
			row[i] = c.cell(x)
		}
		t.rows = append(t.rows, row)
	}
	return t
}

// write writes header and rows as CSV.
func (t table) write(w io.Writer) error {
	out := csv.NewWriter(w)
	head := make([]string, len(t.fields))
	for i, f := range t.fields {
		head[i] = f.Name
	}
	if err := out.Write(head); err != nil {
		return err
	}
	return out.WriteAll(t.rows)
}

// The kinds of columns. Each takes its cell from a T.

func words[T any](name, about string, cell func(T) string) column[T] {
	return column[T]{field{Name: name, Type: "string", Description: about}, cell}
}

func count[T any](name, about string, cell func(T) int) column[T] {
	return column[T]{field{Name: name, Type: "integer", Description: about}, func(x T) string { return strconv.Itoa(cell(x)) }}
}

func amount[T any](name, unit, about string, cell func(T) *float64) column[T] {
	return column[T]{field{Name: name, Type: "number", Unit: unit, Description: about}, func(x T) string { return decimal(cell(x)) }}
}

func truth[T any](name, about string, cell func(T) bool) column[T] {
	return column[T]{field{Name: name, Type: "boolean", Description: about}, func(x T) string { return strconv.FormatBool(cell(x)) }}
}

func moment[T any](name, about string, cell func(T) time.Time) column[T] {
	return column[T]{field{Name: name, Type: "datetime", Format: "any", Description: about}, func(x T) string { return instant(cell(x)) }}
}

// decimal writes a number so that it reads back the same; empty when unknown.
func decimal(x *float64) string {
	if x == nil || math.IsNaN(*x) || math.IsInf(*x, 0) {
		return ""
	}
	return strconv.FormatFloat(*x, 'g', -1, 64)
}

// instant writes RFC 3339 in UTC; empty when unknown.
func instant(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02T15:04:05.999Z07:00")
}

// middle is the middle of a span, or the end that is known.
func middle(s schedule.Span) time.Time {
	switch {
	case s.From.IsZero():
		return s.To
	case s.To.IsZero():
		return s.From
	}
	return s.Mid()
}

// list joins several texts in one cell.
func list(texts []string) string { return strings.Join(texts, "; ") }

// above is x, or nil where zero stands for not known.
func above(x float64) *float64 {
	if !(x > 0) {
		return nil
	}
	return &x
}
