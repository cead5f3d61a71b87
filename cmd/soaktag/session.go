package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
	"soaktag/tracker/wording"
)

// A session is one run of the program: its streams, its clock, and whether
// something came up that a person should look at.
type session struct {
	stdin          io.Reader // buffered: bufio.NewReader(s.stdin) loses nothing
	stdout, stderr io.Writer
	now            func() time.Time
	terminal       bool            // somebody can be asked
	onScreen       bool            // stdout is a terminal
	watched        bool            // stderr is one: somebody waits there
	attention      bool            // ends with status 3 unless there is an error
	file           string          // the study that open opened
	hinted         []string        // what was advised in this run
	stop           <-chan struct{} // closed when the run is interrupted
}

// A refusal is an error that ends with status 2: wrong usage, or an input that
// is not taken.
type refusal struct{ err error }

func (r *refusal) Error() string { return r.err.Error() }
func (r *refusal) Unwrap() error { return r.err }

// usageError returns an error that ends with status 2.
func usageError(format string, args ...any) error {
	return &refusal{fmt.Errorf(format, args...)}
}

// refused makes err end with status 2. A nil err stays nil.
func refused(err error) error {
	if err == nil {
		return nil
	}
	return &refusal{err}
}

// hinted is an error with the next thing to type.
type hinted struct {
	err  error
	hint string
}

func (h *hinted) Error() string { return h.err.Error() }
func (h *hinted) Unwrap() error { return h.err }

// withHint adds a hint line to be printed after err.
func withHint(err error, format string, args ...any) error {
	return &hinted{err, fmt.Sprintf(format, args...)}
}

// studyFlag, asOfFlag and jsonFlag are made anew for every command because the
// library keeps state in them.
func studyFlag() cli.Flag {
	return &cli.StringFlag{Name: "study", Usage: "the study `FILE` (else SOAKTAG_STUDY, else the only *.soaktag here or above)"}
}

func asOfFlag() cli.Flag {
	return &cli.StringFlag{Name: "as-of", Usage: "answer as if it were `TIME`, or the end of a day such as 2026-10-20"}
}

func jsonFlag() cli.Flag {
	return &cli.BoolFlag{Name: "json", Usage: "print one JSON object"}
}

// open finds and opens the study, reads its record and says on stderr what is
// soon or overdue. The caller closes the database.
func (s *session) open(c *cli.Context) (*store.DB, *tracker.Record, error) {
	return s.openWith(c, store.Open)
}

// openToRead is open for commands that record nothing: they work where nothing
// can be written as well.
func (s *session) openToRead(c *cli.Context) (*store.DB, *tracker.Record, error) {
	return s.openWith(c, store.OpenToRead)
}

func (s *session) openWith(c *cli.Context, open func(string, tracker.PlanReader) (*store.DB, error)) (*store.DB, *tracker.Record, error) {
	path, err := studyPath(c)
	if err != nil {
		return nil, nil, err
	}
	db, err := open(path, plan.Read)
	if err != nil {
		return nil, nil, err
	}
	rec, err := s.record(c, db)
	if err != nil {
		return nil, nil, errors.Join(err, db.Close())
	}
	s.sayWhere(c, path)
	s.file = path
	if loss := db.Lost(); loss != nil {
		s.attention = true
		s.warn("%s: %s", fromHere(path), loss)
	}
	return db, rec, nil
}

// sayWhere names, once, a study that nobody named and that was found in a
// folder above: it may be another than the one meant.
func (s *session) sayWhere(c *cli.Context, path string) {
	if s.file != "" || c.String("study") != "" || os.Getenv("SOAKTAG_STUDY") != "" {
		return
	}
	if here, err := os.Getwd(); err == nil && filepath.Dir(path) != here {
		s.say("the study is %s, in a folder above", path)
	}
}

func (s *session) record(c *cli.Context, db *store.DB) (*tracker.Record, error) {
	rec, err := db.State()
	if err != nil {
		return nil, err
	}
	now, err := s.asOf(c, rec)
	if err != nil {
		return nil, err
	}
	if c.Command.Name == "due" || s.file != "" {
		return rec, nil // which says so itself, in full; or it was said when the study was opened before
	}
	if c.IsSet("at") || c.Command.Name == "import" {
		return rec, nil // a notebook is written up: what is late today is not asked there
	}
	if !c.IsSet("as-of") {
		s.warnDue(rec.Due(now))
	} else {
		s.warnDue(rec.AsOf(now).Due(now))
	}
	return rec, nil
}

// warnDue says how much is overdue and soon: before the limit, not only after.
func (s *session) warnDue(items []tracker.Due) {
	if counts := wording.DueCounts(items); counts != "" {
		s.say("%s: see soaktag due", counts)
	}
}

// studyPath says which file is the study: --study, else SOAKTAG_STUDY, else
// the only *.soaktag in this folder or the nearest folder above that has one.
func studyPath(c *cli.Context) (string, error) {
	if path := c.String("study"); path != "" {
		return existing(path, "--study")
	}
	if path := os.Getenv("SOAKTAG_STUDY"); path != "" {
		return existing(path, "SOAKTAG_STUDY")
	}
	dir, err := os.Getwd()
	if err != nil {
		return "", fmt.Errorf("look for a study: %w", err)
	}
	return studyAbove(dir)
}

func existing(path, source string) (string, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return "", usageError("no study at %s (from %s); soaktag begin PLAN.toml makes one", path, source)
	case err != nil:
		return "", refused(fmt.Errorf("study from %s: %w", source, err))
	case info.IsDir():
		return "", usageError("%s (from %s) is a folder; name the .soaktag file in it", path, source)
	}
	return path, nil
}

// studyAbove is the only study of the first folder, from dir up, that holds any.
func studyAbove(dir string) (string, error) {
	folder, found := store.Nearest(dir)
	switch len(found) {
	case 0:
		if copies := store.Backups(dir); len(copies) > 0 {
			return "", withHint(usageError("no study here, but a backup copy: %s", strings.Join(copies, ", ")),
				"make a study of it: soaktag restore %s --study NEW.soaktag", wording.ShellWord(copies[0]))
		}
		return "", usageError("no *.soaktag here or in a folder above; name one with --study FILE, or make one with soaktag begin PLAN.toml")
	case 1:
		return filepath.Join(folder, found[0]), nil
	}
	return "", &refusal{&severalStudies{folder, found}}
}

// A severalStudies is a folder in which a study has to be chosen.
type severalStudies struct {
	folder string
	names  []string
}

// shown is the folder as seen from here.
func (e *severalStudies) shown() string {
	if here, err := os.Getwd(); err == nil {
		if short, err := filepath.Rel(here, e.folder); err == nil {
			return short
		}
	}
	return e.folder
}

func (e *severalStudies) Error() string {
	return fmt.Sprintf("%d studies in %s (%s); choose one with --study FILE", len(e.names), e.folder, strings.Join(e.names, ", "))
}

// asOf returns the moment to answer for: --as-of in the study's zone, or now.
func (s *session) asOf(c *cli.Context, rec *tracker.Record) (time.Time, error) {
	if !c.IsSet("as-of") {
		return s.now(), nil
	}
	text, err := timeGiven(c, "as-of")
	if err != nil {
		return time.Time{}, err
	}
	at, err := schedule.ParseInstant(text, s.now(), rec.Zone())
	if err != nil {
		return time.Time{}, refused(fmt.Errorf("--as-of: %w", err))
	}
	if !strings.Contains(text, strconv.Itoa(at.In(rec.Zone()).Year())) {
		s.hint("--as-of %q is taken for %s", text, wording.Time(at, rec.Zone()))
	}
	return at, nil
}

// print writes data to stdout; no newline is added.
func (s *session) print(format string, args ...any) {
	io.WriteString(s.stdout, screen.Sprintf(format, args...))
}

// say and warn write one line of talk to stderr.
func (s *session) say(format string, args ...any)  { s.talk("soaktag: ", format, args) }
func (s *session) warn(format string, args ...any) { s.talk("soaktag: warning: ", format, args) }

// hint advises once a run: the same words again are only in the way.
func (s *session) hint(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if !slices.Contains(s.hinted, text) {
		s.hinted = append(s.hinted, text)
		s.talk("soaktag: hint: ", "%s", []any{text})
	}
}

func (s *session) talk(lead, format string, args []any) {
	io.WriteString(s.stderr, lead+screen.Sprintf(format, args...)+"\n")
}

// json writes v, which must marshal to an object, on one line of stdout with
// the marker as its first field.
func (s *session) json(_ *cli.Context, marker string, v any) error {
	var buffer bytes.Buffer
	encoder := json.NewEncoder(&buffer)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(v); err != nil {
		return fmt.Errorf("write %s: %w", marker, err)
	}
	body := bytes.TrimSpace(buffer.Bytes())
	if len(body) < 2 || body[0] != '{' {
		return fmt.Errorf("write %s: not an object", marker)
	}
	comma := ","
	if len(body) == 2 {
		comma = ""
	}
	_, err := fmt.Fprintf(s.stdout, "{\"soaktag\":%q%s%s\n", marker, comma, screen.JSON(body[1:]))
	return err
}

// ask puts a question to a person at a terminal and returns the line typed.
// Without a terminal it asks nobody and returns "".
func (s *session) ask(question string) (string, error) {
	if !s.terminal {
		return "", nil
	}
	io.WriteString(s.stderr, screen.Sprintf("soaktag: %s ", question))
	line, err := await(s.stop, func() (string, error) { return bufio.NewReader(s.stdin).ReadString('\n') })
	if err != nil && !errors.Is(err, io.EOF) {
		return "", fmt.Errorf("read the answer: %w", err)
	}
	return strings.TrimSpace(line), nil
}
