package main

import (
	"io"

	"github.com/urfave/cli/v2"

	"soaktag/tracker/report"
	"soaktag/tracker/wording"
)

// reportCommand writes what can be shown to others.
func (s *session) reportCommand() *cli.Command {
	return &cli.Command{
		Name:  "report",
		Usage: "write the results as one page to read, print or show to an audience",
		Flags: []cli.Flag{studyFlag(), asOfFlag(), replaceFlag(),
			&cli.StringFlag{Name: "out", Usage: "the `FILE.html` to write"},
			&cli.BoolFlag{Name: "slide", Usage: "one 16:9 page for an audience"}},
		Action: s.report,
	}
}

func (s *session) report(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	out := c.String("out")
	if out == "" {
		return usageError("report needs a file to write: soaktag report --out report.html")
	}
	if out == "-" {
		return usageError("report writes a file and not to standard output: soaktag report --out report.html (a file called - is ./-)")
	}
	if err := mayWrite(c, htmlFile, out); err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	made, err := s.stamp()
	if err != nil {
		return err
	}
	db, _, err := s.openToRead(c) // once more, for the photographs
	if err != nil {
		return err
	}
	defer db.Close()
	o := report.Options{At: made, Head: view.head, Events: view.whole, Slide: c.Bool("slide"), Photo: db.Photo, Progress: s.progress("report, step")}
	if view.past {
		o.AsOf = view.now
	}
	if err := writeOut(c, htmlFile, out, func(w io.Writer) error { return report.Write(w, view.rec, o) }); err != nil {
		return err
	}
	s.print("%s  %s, %s\n", out, wording.Plural(len(view.rec.Specimens()), "specimen"), wording.Plural(int(view.events), "event"))
	s.hint("open it in a browser; to put it on paper, print from there")
	return nil
}
