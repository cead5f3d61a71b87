package wording

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// A Tone says how a sentence is meant.
type Tone int

const (
	Told     Tone = iota // for information
	Warned               // look at it
	Advised              // what to type or do next
	Answered             // the answer itself: what is on record now
)

// A Sentence is one thing that a desk says.
type Sentence struct {
	Tone
	Text   string
	Placed bool // it is about the line or photograph in hand, which is named before it
}

func tell(format string, args ...any) Sentence {
	return Sentence{Told, fmt.Sprintf(format, args...), false}
}
func warn(format string, args ...any) Sentence {
	return Sentence{Warned, fmt.Sprintf(format, args...), false}
}
func answer(format string, args ...any) Sentence {
	return Sentence{Answered, fmt.Sprintf(format, args...), false}
}
func advise(text string) Sentence { return Sentence{Advised, text, false} }

// here makes a sentence one about the line or photograph in hand.
func (s Sentence) here() Sentence {
	s.Placed = true
	return s
}

// Note words what a desk has to say; nothing for what is told in another way:
// what was recorded or seen, and that a card was taken. study is the one worked on;
// nil where photographs are only listed.
func Note(n intake.Note, study *tracker.Study) []Sentence {
	switch n := n.(type) {
	case intake.Marked:
		return marks(n.Marks)
	case intake.NotRecorded:
		return notRecorded(n)
	case intake.UntriedLabels:
		return []Sentence{warn("%s", untriedLabels(n))}
	case intake.UntriedRigs:
		return []Sentence{warn("nothing was ever broken on %s: break a dummy there before these: %s", strings.Join(n.Rigs, ", "), DummyCommand(study, n.Rigs[0]))}
	case intake.TrialStands:
		return []Sentence{tell("%s", Trial(n.Trial, study.Zone))}
	case intake.Advised:
		return []Sentence{advise(Help(n.Help))}
	}
	zone := zoneOf(study)
	if s := scanned(n, zone); s.Text != "" {
		return []Sentence{s}
	}
	if out := carded(n, zone); out != nil {
		return out
	}
	if out := formed(n, study); out != nil {
		return out
	}
	if out := sat(n); out != nil {
		return out
	}
	if out := sent(n); out != nil {
		return out
	}
	if out := amendment(n, zone); out != nil {
		return out
	}
	return photograph(n, zone)
}

// zoneOf is the zone of a study; nil where there is no study.
func zoneOf(study *tracker.Study) *time.Location {
	if study == nil {
		return nil
	}
	return study.Zone
}

// scanned words what a desk says of a scan or of an entry.
func scanned(n intake.Note, zone *time.Location) Sentence {
	switch n := n.(type) {
	case intake.ReadAs:
		return tell("%s", readAs(n.Subjects)).here()
	case intake.SeveralNotMeant:
		return tell("%s of %s not meant, another step is next for: %s", Plural(len(n.Codes), "specimen"), n.Of, someCodes(n.Codes))
	case intake.NotMeant:
		return tell("%s", notMeant(n, zone))
	case intake.Accepted:
		return tell("accepted %s: %s", Counted(n.Marks, "mark", "marks"), n.Reason)
	case intake.ClockOff:
		return tell("clock of %s is %s", n.Device, Off(n.Ahead))
	case intake.RunTogether:
		return warn("%d codes run together: the scanner sends no Enter; set it to send one after every code", n.Codes).here()
	case intake.TimeInDoubt:
		return warn("the time %s", strings.TrimSuffix(Doubt(n.Doubt)+"; "+Undoubted(n.Taken, n.Doubt, zone), "; ")).here()
	case intake.StageExpired:
		return warn("%s is no longer in force, its last scan was %s ago; scan the stage card again", n.Stage, schedule.Short(n.Ago)).here()
	case intake.StageInForce:
		return tell("==== %s ==== in force until %s; every scan puts that off to %s after it",
			strings.ToUpper(string(n.Stage)), Time(n.Until, zone), schedule.Short(intake.CardLasts))
	case intake.LeftOpen:
		return advise("kept, and asks: YES if it stands, UNDO if not").here()
	}
	return Sentence{}
}

// carded words what a desk says of the cards that answer it.
func carded(n intake.Note, zone *time.Location) (out []Sentence) {
	switch n := n.(type) {
	case intake.Who:
		return []Sentence{tell("scans are now by %s", n.Name)}
	case intake.NothingAsks:
		return []Sentence{warn("YES, but the last scan asks nothing").here()}
	case intake.NothingToTakeBack:
		return []Sentence{warn("UNDO, but nothing recorded in this run is left to take back").here()}
	case intake.TakenBack:
		for _, e := range n.Events {
			out = append(out, tell("taken back: %s %s", Whom(e), What(e, zone)))
		}
	case intake.AsideAlready:
		return []Sentence{tell("set aside already: %s %s", Whom(n.Event), What(n.Event, zone))}
	case intake.ScannerTest:
		return scannerTest(n.Faults)
	}
	return out
}

func scannerTest(faults []string) (out []Sentence) {
	if len(faults) == 0 {
		return []Sentence{tell("scanner test: good: layout, capitals and Enter are right")}
	}
	for _, text := range faults {
		out = append(out, warn("scanner test: %s", text))
	}
	return out
}

func notRecorded(n intake.NotRecorded) []Sentence {
	out := []Sentence{warn("%s: not recorded", n.Why).here()}
	if help := Help(n.Help); help != "" {
		out = append(out, advise(help))
	}
	return out
}

func readAs(subjects []intake.Subject) string {
	var texts []string
	for _, s := range subjects[:min(len(subjects), fewCodes)] {
		text := s.String()
		if s.Called != "" {
			text = s.Called + ", which is called so"
		}
		if s.Several != nil {
			codes := s.Several.Codes
			text = fmt.Sprintf("%s, %s", Plural(len(codes), "specimen"), runOf(codes))
			if not := NotUsed(s.Several.Unused); not != "" {
				text += " (" + not + ")"
			}
		}
		texts = append(texts, fmt.Sprintf("%q is read as %s", s.Text, text))
	}
	if more := len(subjects) - len(texts); more > 0 {
		texts = append(texts, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(texts, ", ")
}

// NotUsed says which serials of a range no specimen has; empty where all have one.
func NotUsed(serials []int) string {
	var texts []string
	for _, n := range serials {
		texts = append(texts, fmt.Sprint(n))
	}
	switch n := len(texts); {
	case n == 0:
		return ""
	case n > fewCodes:
		texts = append(texts[:fewCodes:fewCodes], fmt.Sprintf("%d more", n-fewCodes))
	}
	return And(texts) + " " + oneOr(len(serials), "is", "are") + " not used"
}

// runOf names codes by their ends where hardly a serial between is missing.
func runOf(codes []labels.Code) string {
	first, last := codes[0], codes[len(codes)-1]
	if last.Serial-first.Serial > len(codes)+len(codes)/4 {
		return someCodes(codes)
	}
	return fmt.Sprintf("%s to %s", first, last)
}

// notMeant says which specimens of a bath its tag did not mean, and why.
func notMeant(n intake.NotMeant, zone *time.Location) string {
	who, are, their, labels, list := Plural(len(n.Codes), "specimen"), "are", "their", "their labels", ": "+someCodes(n.Codes)
	if len(n.Codes) == 1 {
		who, are, their, labels, list = n.Codes[0].String(), "is", "its", "its label", ""
	}
	if !n.Opens.IsZero() {
		return fmt.Sprintf("%s of bath %s %s not meant, %s %s opens %s%s; if it happened all the same: scan %s, or %s",
			who, n.Bath, are, their, n.Next, Time(n.Opens, zone), list, labels, logCommand(n))
	}
	verb := "is"
	if n.Then {
		verb = "then was"
	}
	return fmt.Sprintf("%s of bath %s %s not meant, %s next step %s %s%s", who, n.Bath, are, their, verb, n.Next, list)
}

// logCommand records of specimens what a bath's tag did not mean of them.
func logCommand(n intake.NotMeant) string {
	words := []string{"CODE..."}
	if len(n.Codes) <= fewCodes {
		words = nil
		for _, code := range n.Codes {
			words = append(words, strconv.Itoa(code.Serial))
		}
	}
	text := "soaktag log " + strings.Join(words, " ") + " --stage " + ShellWord(string(n.Stage))
	if n.Then {
		text += " --at TIME"
	}
	return text
}

// fewCodes is how many codes a sentence names before it counts the rest.
const fewCodes = 6

func someCodes(codes []labels.Code) string {
	var names []string
	for _, code := range codes[:min(len(codes), fewCodes)] {
		names = append(names, code.String())
	}
	if more := len(codes) - len(names); more > 0 {
		names = append(names, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(names, ", ")
}

// Doubt says what is doubtful about a time, behind the time.
func Doubt(d schedule.Doubt) string {
	if strings.HasPrefix(string(d), "in ") {
		return "is " + string(d)
	}
	return string(d)
}

// Off says how far a clock is off: ahead by so much, behind where below zero.
func Off(ahead time.Duration) string {
	switch {
	case ahead > 0:
		return schedule.Short(ahead) + " fast"
	case ahead < 0:
		return schedule.Short(-ahead) + " slow"
	}
	return "right"
}
