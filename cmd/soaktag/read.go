package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/labels/photo"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// readCommand records the codes in photographs.
func (s *session) readCommand() *cli.Command {
	return &cli.Command{
		Name:      "read",
		Usage:     "record every code in photographs, at the time they were taken",
		ArgsUsage: "PHOTO|FOLDER...",
		Flags: append(entryFlags(), jsonFlag(),
			&cli.StringFlag{Name: "stage", Usage: "the `STAGE` in force from the start"},
			&cli.BoolFlag{Name: "correct", Usage: "put what was read in these photographs before at --stage, or at --at; wants --reason"},
			&cli.StringFlag{Name: "codes", Usage: "list only: match against the codes in `FILE`, one a line"},
			&cli.BoolFlag{Name: "any", Usage: "list QR codes that are none of ours as well; they are never recorded"},
			&cli.StringFlag{Name: "show", Usage: "draw what was found on the photograph that shows most: `FILE.png`, or .jpg"},
		),
		Action: s.read,
	}
}

func (s *session) read(c *cli.Context) error {
	if c.NArg() == 0 {
		return usageError("read wants a photograph or a folder; for example soaktag read IMG_0001.jpg --stage lift-out")
	}
	if err := showable(c.String("show")); err != nil {
		return err
	}
	if err := rightGiven(c); err != nil {
		return err
	}
	shots, passed, err := shotsIn(c.Args().Slice())
	if err != nil {
		return err
	}
	if passed > 0 {
		s.say("%s not looked at: no photographs", wording.Plural(passed, "other file"))
	}
	if s.onlyLists(c) {
		return s.listPhotos(c, shots)
	}
	return s.write(c, func(b *book) error { return b.readPhotos(c, shots) })
}

// onlyLists reports whether nothing is to be recorded: codes are given, or any
// QR code is asked for where there is no study.
func (s *session) onlyLists(c *cli.Context) bool {
	if c.IsSet("codes") {
		return true
	}
	if !c.Bool("any") || c.IsSet("study") {
		return false
	}
	_, err := studyPath(c)
	if err != nil {
		s.say("no study here: what is found is listed, nothing is recorded")
	}
	return err != nil
}

// showable refuses a --show that could not be written at the end.
func showable(path string) error {
	switch kind := strings.ToLower(filepath.Ext(path)); {
	case path == "":
		return nil
	case kind != ".png" && kind != ".jpg" && kind != ".jpeg":
		return usageError("--show %s: name a file that ends in .png or .jpg", path)
	}
	return mustBeNew(path)
}

// listPhotos reads photographs without a study.
func (s *session) listPhotos(c *cli.Context, shots []*shot) error {
	if c.IsSet("stage") || c.IsSet("at") {
		s.say("nothing is recorded: --stage and --at are not used")
	}
	list, err := codesGiven(c.String("codes"))
	if err != nil {
		return err
	}
	if err := s.readShots(shots, list, photo.Options{Any: c.Bool("any")}); err != nil {
		return err
	}
	docs := []photoDoc{}
	for _, sh := range shots {
		docs = append(docs, sh.listed())
		if sh.Err != nil {
			s.tellUnread(sh, len(shots))
			continue
		}
		if !c.Bool("json") {
			s.listShot(sh)
		}
		s.sayTwins(sh)
	}
	if c.Bool("json") {
		if err := s.json(c, "read/1", readDoc{docs}); err != nil {
			return err
		}
	}
	if err := s.showShots(c.String("show"), shots); err != nil {
		return err
	}
	return noneRead(shots)
}

// noneRead refuses a run of which no file could be read.
func noneRead(shots []*shot) error {
	if slices.ContainsFunc(shots, func(sh *shot) bool { return sh.Err == nil }) {
		return nil
	}
	if len(shots) > 1 {
		return usageError("none of %s could be taken; nothing recorded", wording.Plural(len(shots), "photograph"))
	}
	err := refused(fmt.Errorf("%s: %w; nothing recorded", shots[0].Name, shots[0].Err))
	if h := (*hinted)(nil); errors.As(desked(shots[0].Err), &h) {
		return withHint(err, "%s", h.hint)
	}
	return err
}

// codesGiven reads a list of codes, one a line; nil without a file.
func codesGiven(path string) (*photo.List, error) {
	if path == "" {
		return nil, nil
	}
	if err := pipeless(path); err != nil {
		return nil, refused(fmt.Errorf("%s %w", path, err))
	}
	f, err := openNamed(path, "--codes wants a file with one code a line")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(f)
	if err != nil {
		return nil, refused(fmt.Errorf("--codes %s: %w", path, err))
	}
	list, err := photo.ParseList(text)
	if wrong := (*photo.LineError)(nil); errors.As(err, &wrong) {
		return nil, refused(fmt.Errorf("--codes %s, line %d: %s is no code: %w", path, wrong.Line, intake.Quoted(wrong.Text), wrong.Err))
	}
	if err != nil {
		return nil, refused(fmt.Errorf("--codes %s: %w", path, err))
	}
	return list, nil
}
