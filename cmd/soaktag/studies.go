package main

import (
	"path/filepath"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// listStudies tells of every study in a folder: what it is, how far, and whether
// something is overdue or asks. One that cannot be opened does not hide the others.
func (s *session) listStudies(c *cli.Context, in *severalStudies) error {
	t := screen.NewTable("file", "study", "specimens", "so far", ">overdue", ">asking")
	for _, name := range in.names {
		row, err := s.studyRow(c, filepath.Join(in.folder, name))
		if err != nil {
			s.warn("%v", err)
			s.attention = true
			continue
		}
		t.Row(append([]string{name}, row...)...)
	}
	s.print("%s", t)
	s.hint("one of them in full: soaktag status --study %s", wording.ShellWord(filepath.Join(in.shown(), in.names[0])))
	return nil
}

func (s *session) studyRow(c *cli.Context, path string) ([]string, error) {
	db, err := store.OpenToRead(path, plan.Read)
	if err != nil {
		return nil, err
	}
	defer db.Close()
	rec, err := db.State()
	if err != nil {
		return nil, err
	}
	now, err := s.asOf(c, rec)
	if err != nil {
		return nil, err
	}
	if c.IsSet("as-of") {
		rec = rec.AsOf(now)
	}
	doc := tables.NewStatus(rec, nil, now) // a row says nothing of danger
	s.attention = s.attention || doc.Overdue > 0 || doc.Asks > 0
	return []string{doc.Study.Title, wording.Codes(rec.Specimens()), wording.SoFar(rec), count(doc.Overdue), count(doc.Asks)}, nil
}
