// Package tables brings studies in and out as CSV and JSON: an existing set of
// specimens, events kept elsewhere, and the whole study as an open tabular
// data package.
//
// Reading reports every problem of a file with its line, and gives nothing
// unless the whole file is good. Columns may stand in any order; those that
// nobody knows are named in a warning. Units stand in column names or with the
// quantity. What is not known is an empty cell in CSV and null in JSON.
package tables

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// A Problem is something in a file that has to be put right.
type Problem struct {
	File string
	Line int // from 1
	Text string
}

func (p *Problem) Error() string { return fmt.Sprintf("%s:%d: %s", p.File, p.Line, p.Text) }

// Limits that no file of a workshop comes near.
const (
	mostBytes = 64 << 20
	mostRows  = 1_000_000
)

// A sheet is a CSV file read: a header and rows of cells, without the space
// around them.
type sheet struct {
	name     string
	columns  map[string]int // by name in lower case
	order    []string       // their names as they stand
	rows     []row
	warnings []string
	problems []error
}

type row struct {
	line  int
	cells []string
	sheet *sheet
}

// readSheet reads a file and checks its header. Problems are kept, not
// returned, so that those of the rows can join them.
func readSheet(name string, r io.Reader, columns []Column) *sheet {
	s := &sheet{name: name, columns: map[string]int{}}
	text, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	switch {
	case err != nil:
		s.problem(1, "reading: %v", err)
		return s
	case len(text) > mostBytes:
		s.problem(1, "more than %d MiB: cut the file in parts", mostBytes>>20)
		return s
	case !utf8.Valid(text):
		s.problem(1+bytes.Count(text[:firstInvalid(text)], []byte("\n")), "not UTF-8: save it as CSV UTF-8")
		return s
	}
	s.read(readerOf(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))))
	s.checkHeader(columns)
	return s
}

// readerOf takes cells apart at commas, or at tabs where the header has tabs and no
// commas. Some spreadsheets put a line before it that names the sign, "sep=,".
func readerOf(text []byte) *csv.Reader {
	header, rest, _ := bytes.Cut(text, []byte("\n"))
	if sign, named := bytes.CutPrefix(bytes.TrimSpace(header), []byte("sep=")); named && len(sign) <= 1 { // a tab is trimmed
		header, _, _ = bytes.Cut(rest, []byte("\n"))
		text = append([]byte("\n"), rest...) // so that lines keep their numbers
	}
	r := csv.NewReader(bytes.NewReader(text))
	if bytes.ContainsRune(header, '\t') && !bytes.ContainsRune(header, ',') {
		r.Comma = '\t'
	}
	return r
}

func firstInvalid(text []byte) int {
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRune(text[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return len(text)
}

func (s *sheet) problem(line int, format string, args ...any) {
	s.problems = append(s.problems, &Problem{s.name, line, fmt.Sprintf(format, args...)})
}

func (s *sheet) warn(line int, format string, args ...any) {
	s.warnings = append(s.warnings, (&Problem{s.name, line, fmt.Sprintf(format, args...)}).Error())
}

// read takes header and rows. A row of empty cells is a blank line.
func (s *sheet) read(r *csv.Reader) {
	r.FieldsPerRecord = -1
	header := true
	for {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			s.syntax(err)
			return
		}
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		line, _ := r.FieldPos(0)
		switch {
		case header && len(cells) == 1 && strings.Contains(cells[0], ";"):
			s.problem(line, "columns are separated by semicolons: save the file with commas")
			return // all else would follow from that
		case header:
			s.header(line, cells)
			header = false
		case strings.Join(cells, "") == "":
		case len(cells) != len(s.columns):
			s.problem(line, "%d cells under %d columns", len(cells), len(s.columns))
		case len(s.rows) == mostRows:
			s.problem(line, "more than %d rows: cut the file in parts", mostRows)
			return
		default:
			s.rows = append(s.rows, row{line, cells, s})
		}
	}
	if header {
		s.problem(1, "the file is empty: it needs a header line")
	}
}

// syntax turns an error of the CSV reader into a problem with its line.
func (s *sheet) syntax(err error) {
	var at *csv.ParseError
	if errors.As(err, &at) {
		s.problem(at.Line, "%v; write a quote inside a cell as two", at.Err)
		return
	}
	s.problem(1, "reading: %v", err)
}

func (s *sheet) header(line int, cells []string) {
	for i, cell := range cells {
		name := strings.ToLower(cell)
		if _, twice := s.columns[name]; twice {
			s.problem(line, "column %q stands twice", cell)
			name = fmt.Sprintf("%s\x00%d", name, i)
		} else {
			s.order = append(s.order, name)
		}
		s.columns[name] = i
	}
}

// get returns the cell of a column; empty when the file lacks the column.
func (r row) get(column string) string {
	if i, ok := r.sheet.columns[column]; ok {
		return r.cells[i]
	}
	return ""
}

// empty reports an empty cell; not where the whole column is missing, which is
// reported once.
func (r row) empty(column, problem string) {
	if _, there := r.sheet.columns[column]; there {
		r.problem("%s", problem)
	}
}

func (r row) problem(format string, args ...any) { r.sheet.problem(r.line, format, args...) }

// parse reads a cell with f; an empty cell is the zero value. What f objects
// to becomes a problem of the row.
func parse[T any](r row, column string, f func(string) (T, error)) T {
	var zero T
	text := r.get(column)
	if text == "" {
		return zero
	}
	v, err := f(text)
	if err != nil {
		r.problem("%s: %v", column, err)
		return zero
	}
	return v
}

// mostProblems is how many problems of one file are told: more than a person mends at a time, and of a file
// that is wrong throughout enough to see how.
const mostProblems = 100

// err joins the first problems in the order of their lines, and says how many more there are; nil
// without any.
func (s *sheet) err() error {
	slices.SortStableFunc(s.problems, func(a, b error) int { return lineOf(a) - lineOf(b) })
	if more := len(s.problems) - mostProblems; more > 0 {
		last := &Problem{s.name, lineOf(s.problems[mostProblems]), fmt.Sprintf("and %d more from this line on; the first %d are listed", more, mostProblems)}
		return errors.Join(append(s.problems[:mostProblems:mostProblems], last)...)
	}
	return errors.Join(s.problems...)
}

func lineOf(err error) int {
	var p *Problem
	if errors.As(err, &p) {
		return p.Line
	}
	return 0
}
