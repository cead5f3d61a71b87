package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker/intake"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// scanCommand records a stream of codes and cards, one a line.
func (s *session) scanCommand() *cli.Command {
	return &cli.Command{
		Name:  "scan",
		Usage: "record codes and cards from a scanner, one a line",
		Flags: append(entryFlags(), jsonFlag(),
			&cli.StringFlag{Name: "stage", Usage: "the `STAGE` in force from the start"}),
		Action: func(c *cli.Context) error {
			if err := noArguments(c); err != nil {
				return withHint(err, "codes come from stdin: echo HBR-017-J | soaktag scan --stage STAGE; or soaktag log HBR-017-J --stage STAGE")
			}
			return s.write(c, func(b *book) error { return b.scan(c) })
		},
	}
}

// A scanning is one run of scan.
type scanning struct {
	*book
	json   bool
	line   int
	sits   bool           // the desk asks in turn until somebody ends that
	opened intake.Outcome // what such a sitting began with
}

// sit answers what the desk asks in turn, line by line, to the end.
func (b *book) sit(out intake.Outcome, err error) error {
	if err != nil {
		return desked(err)
	}
	b.tell(out)
	return (&scanning{book: b, sits: true, opened: out}).run()
}

func (b *book) scan(c *cli.Context) error {
	sc := &scanning{book: b, json: c.Bool("json")}
	if err := sc.begin(c.String("stage")); err != nil {
		return err
	}
	return sc.run()
}

// run takes the stream and ends with what is still in hand, however it stopped.
func (sc *scanning) run() error {
	stopped := sc.stream(bufio.NewReader(sc.stdin))
	out, err := sc.desk.Leave()
	if stopped == nil {
		stopped = err
	}
	err = errors.Join(stopped, sc.came("", out))
	sc.sum()
	if err != nil {
		return err
	}
	out, err = sc.desk.Close()
	sc.tell(out)
	return err
}

// begin puts the stage given in force, and says how to go on where there is none.
func (sc *scanning) begin(word string) error {
	if word != "" {
		stage, err := intake.ParseStage(sc.desk.Record(), word)
		if err != nil {
			return desked(err)
		}
		sc.tell(sc.desk.Set(stage))
	} else if sc.terminal {
		sc.say("no stage in force: scan a stage card first, or type a stage")
	}
	if sc.terminal {
		sc.say("Ctrl-D ends")
	}
	return nil
}

// stream takes line after line. A line that cannot be read is reported and
// the next one is taken; only the store can stop a stream.
func (sc *scanning) stream(in *bufio.Reader) error {
	for {
		sc.prompt()
		line, err := await(sc.stop, func() (string, error) { line, err := intake.NextLine(in); return string(line), err })
		if errors.Is(err, errInterrupted) {
			return err
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return fmt.Errorf("read line %d of the scans: %w", sc.line+1, err)
		}
		if err != nil {
			sc.leaveQuestion()
			return nil
		}
		sc.line++
		word := strings.ToLower(line)
		switch {
		case sc.sits && (word == "q" || word == "quit"):
			return nil
		case line == "" && sc.desk.Asks() == nil, sc.terminal && !sc.desk.Reads(line) && sc.explain(word):
			continue
		}
		if err := sc.take(line); err != nil {
			return fmt.Errorf("line %d, %s: %w", sc.line, intake.Quoted(line), err)
		}
	}
}

// prompt asks somebody at a terminal what the desk waits for.
func (sc *scanning) prompt() {
	if q := sc.desk.Asks(); q != nil && sc.terminal {
		io.WriteString(sc.stderr, screen.Sprintf("soaktag: %s ", wording.Question(q, sc.zone())))
	}
}

// leaveQuestion ends the line of a question that nobody answers.
func (sc *scanning) leaveQuestion() {
	if sc.terminal && sc.desk.Asks() != nil {
		fmt.Fprintln(sc.stderr)
	}
}

// take hands one line to the desk and tells what came of it.
func (sc *scanning) take(line string) error {
	out, err := sc.desk.Take(intake.Line(line))
	return errors.Join(sc.came(line, out), err)
}

// came tells what came of a line, note by note.
func (sc *scanning) came(line string, out intake.Outcome) error {
	for _, n := range out.Notes {
		sc.attend(n)
		if err := sc.recorded(line, n); err != nil {
			return err
		}
		sc.telling(sc.place(), wording.Note(n, sc.desk.Record().Study()))
		if _, is := n.(intake.Heard); is && len(out.Verdicts()) > 0 {
			continue // what is recorded has it
		}
		if err := sc.emitNote(line, n); err != nil {
			return err
		}
	}
	return nil
}

// place names the line in hand, but to somebody who just answered it.
func (sc *scanning) place() string {
	if sc.sits && sc.terminal {
		return ""
	}
	return fmt.Sprintf("line %d", sc.line)
}

// attend tells by sound, at a terminal, that a scan was not plainly good.
func (sc *scanning) attend(n intake.Note) {
	_, missed := n.(intake.NotTaken)
	switch heed := intake.HeedOf(n); {
	case heed == intake.LookAt, missed && !sc.terminal: // nobody is there to answer again
		sc.attention = true
	case heed > intake.LookAt && sc.terminal:
		fmt.Fprint(sc.stderr, "\a\a")
	}
}

// recorded prints what is on record, for a person or for a script.
func (sc *scanning) recorded(line string, n intake.Note) error {
	r, ok := n.(intake.Recorded)
	if !ok {
		return nil
	}
	for _, v := range r.Verdicts {
		if !sc.json {
			sc.print("%s\n", wording.Recorded(v, sc.zone()))
		}
		if err := sc.emit(line, tables.NewScan(v, sc.zone())); err != nil {
			return err
		}
	}
	return nil
}

// explain answers what somebody at a terminal types who looks for the way out,
// or for a way on. No scan is lost by it, so it counts as none.
func (sc *scanning) explain(word string) bool {
	if slices.Contains([]string{"bye", "end", "stop", "done", "h"}, word) && sc.desk.Asks() != nil {
		return false // it may be an answer
	}
	switch word {
	case "quit", "exit", "q", "bye", "end", "stop", "done":
		sc.say("Ctrl-D at the beginning of a line ends the scan; nothing was recorded for %s", intake.Quoted(word))
	case "help", "?", "h":
		sc.help()
	default:
		return false
	}
	return true
}

func (sc *scanning) help() {
	if sc.sits {
		sc.tell(sc.opened)
		return
	}
	sc.say("scan or type a code, perhaps with a time behind it: HBR-017-J 18:10")
	sc.say("a stage names what the next codes went through: %s", strings.Join(intake.StageNames(sc.desk.Record()), ", "))
	sc.say("YES accepts what the last scan asked, UNDO takes the last scan back, WHO NAME says who scans")
	sc.say("Ctrl-D ends")
}

// sum says at the end what became of the stream.
func (sc *scanning) sum() {
	if sc.line == 0 {
		sc.warn("no scans: nothing came in on stdin")
		return
	}
	tally := sc.desk.Tally()
	sc.attention = sc.attention || tally.Refused > 0 && !(sc.sits && sc.terminal) || tally.Open() > 0
	if sc.sits {
		return
	}
	text := fmt.Sprintf("%s recorded", wording.Counted(tally.Recorded, "scan", "scans"))
	if tally.Refused > 0 {
		text += fmt.Sprintf(", %s not recorded", wording.Counted(tally.Refused, "line", "lines"))
	}
	if tally.Open() > 0 {
		text += fmt.Sprintf(", %d ask: soaktag status lists them, soaktag accept CODE --reason \"why\" accepts", tally.Open())
	}
	sc.say("%s", text)
}

// emitNote writes the object for a line that was refused, for a card, or for what
// is asked about.
func (sc *scanning) emitNote(line string, n intake.Note) error {
	var doc tables.Scan
	switch n := n.(type) {
	case intake.NotRecorded:
		doc.Stage, doc.Problem = strength.Text(n.Stage), strength.Text(n.Why)
	case intake.NotTaken:
		doc.Problem = strength.Text(n.Why)
	case intake.InHand:
		doc.Code, doc.Waits = strength.Text(n.Subject.Code), "reading"
	case intake.Heard:
		doc.Code, doc.Heard = strength.Text(n.Subject.Code), strength.Text(n.Answer)
	case intake.CardTaken:
		doc.Stage, doc.Card = strength.Text(n.Stage), strength.Text(n.Card.Title())
	default:
		return nil
	}
	return sc.emit(line, doc)
}

// emit writes one object for a script; stdout is not buffered.
func (sc *scanning) emit(line string, doc tables.Scan) error {
	if !sc.json {
		return nil
	}
	doc.Line, doc.Text = sc.line, strings.ToValidUTF8(line, "�")
	if doc.Marks == nil {
		doc.Marks = []tables.RecordMark{}
	}
	return sc.session.json(nil, "scan/1", doc)
}
