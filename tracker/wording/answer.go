package wording

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// The states of an answer: each has a shape, a sound and a word of its own on a page.
const (
	AnswerGood = "good"
	AnswerAsks = "asks"
	AnswerBad  = "bad"
)

// An Answer is what somebody who sent something is told of it at a glance.
type Answer struct {
	State string
	Word  string   // one, to be read from two steps away
	Line  string   // the verdict
	More  []string // what else is said
	Do    []string // what to do

	asks []string // of More what asks, which comes first
}

// mark adds marks for somebody who has no terminal to hand: what asks first, the same of
// several once, and nothing of the phone's own clock, which is corrected and stands in
// the history.
func (a *Answer) mark(all []tracker.Mark) {
	var asks, notes []tracker.Mark
	for _, m := range all {
		_, clock := m.About.(tracker.Clocked)
		m.Remedy = tracker.Remedy{}
		switch {
		case m.Open():
			asks = append(asks, m)
		case !clock:
			notes = append(notes, m)
		}
	}
	a.asks = append(a.asks, sameOnce(asks)...)
	a.More = append(a.More, sameOnce(notes)...)
}

// AnswerOf words what came of something that was sent; refusal is why it was not taken
// at all, nil where it was. rec is the record as it stands after it, now.
func AnswerOf(out intake.Outcome, refusal *intake.Refusal, rec *tracker.Record, now time.Time) Answer {
	return answerOf(out, refusal, rec).onPhone(now, rec.Zone())
}

func answerOf(out intake.Outcome, refusal *intake.Refusal, rec *tracker.Record) Answer {
	a := Answer{State: AnswerGood}
	var all []tracker.Mark
	for _, n := range out.Notes {
		if m, is := n.(intake.Marked); is {
			all = append(all, m.Marks...)
			continue
		}
		a.note(n, rec.Study())
	}
	a.mark(all)
	if refusal != nil {
		a.State, a.Word, a.Line = AnswerBad, "NOT TAKEN", refusal.Why // nobody types a flag there
		a.do(Help(refusal.Help))
		return a.whole()
	}
	a.judge(out)
	a.Word, a.Line = a.headline(out, rec)
	if next := nextOf(out.Seen(), rec.Zone()); next != "" {
		a.Do = append(a.Do, next)
	}
	return a.whole()
}

const notRecordedBehind = ": not recorded"

// note adds what a note says, but for what the headline has.
func (a *Answer) note(n intake.Note, study *tracker.Study) {
	switch n := n.(type) {
	case intake.StageInForce, intake.Recorded, intake.TakenBack, intake.Who, intake.Accepted, intake.Weighed, intake.ReadAtStage:
		return
	case intake.NotRecorded:
		a.More = append(a.More, n.Why+notRecordedBehind)
		a.do(Help(n.Help))
		return
	}
	a.say(Note(n, study))
}

func (a *Answer) say(sentences []Sentence) {
	for _, s := range sentences {
		if s.Tone == Advised {
			a.do(s.Text)
		} else {
			a.More = append(a.More, s.Text)
		}
	}
}

// do adds what to do.
func (a *Answer) do(help string) {
	if help != "" {
		a.Do = append(a.Do, help)
	}
}

// judge says whether all is well.
func (a *Answer) judge(out intake.Outcome) {
	seen := out.Seen()
	switch heed := out.Heed(); {
	case heed == intake.Refused && len(seen) == 0, nothingDone(out), len(out.AsideBefore()) > 0:
		a.State = AnswerBad
	case heed > intake.NoHeed, len(out.Asks()) > 0:
		a.State = AnswerAsks
	}
}

// nothingDone reports whether YES or UNDO had nothing to mean.
func nothingDone(out intake.Outcome) bool {
	return slices.ContainsFunc(out.Notes, func(n intake.Note) bool {
		switch n.(type) {
		case intake.NothingAsks, intake.NothingToTakeBack, intake.YesToNothing:
			return true
		}
		return false
	})
}

// headline is the word and the line of what was taken.
func (a *Answer) headline(out intake.Outcome, rec *tracker.Record) (word, line string) {
	word = map[string]string{AnswerGood: "RECORDED", AnswerAsks: "ASKS", AnswerBad: "NOT TAKEN"}[a.State]
	if e, before := out.ReadBefore(); before {
		return "RECORDED BEFORE", readBefore(e, rec)
	}
	if aside := out.AsideBefore(); len(aside) > 0 {
		return word, asideBefore(aside)
	}
	for _, n := range out.Notes {
		switch n := n.(type) {
		case intake.TakenBack:
			return "TAKEN BACK", takenBack(n.Events, rec.Zone())
		case intake.UndoAhead, intake.UndoneBefore:
			return "TAKEN BACK", sentWords(n)
		case intake.Accepted:
			return "ACCEPTED", acceptedLine(n, rec)
		case intake.NotRecorded:
			line = cmp.Or(line, n.Why)
		case intake.NoLabel:
			word, line = "NO LABEL", "no label found in the photograph"
		case intake.StageInForce:
			word, line = strings.ToUpper(string(n.Stage)), "in force until "+Time(n.Until, rec.Zone())
		case intake.Who:
			word, line = "WHO", n.Name+" works here now"
		}
	}
	if seen := out.Seen(); len(seen) > 0 {
		if a.State == AnswerGood {
			word = "RECORDED"
		}
		return word, cmp.Or(weighedLine(out, rec), wentAll(seen, rec))
	}
	if a.State == AnswerBad {
		line = cmp.Or(line, first(a.More))
	}
	return word, cmp.Or(line, first(a.More))
}

func takenBack(events []tracker.Event, zone *time.Location) string {
	if len(events) > 1 {
		var codes []string
		for _, e := range events {
			codes = append(codes, e.Code)
		}
		return specimens(codes) + " " + What(events[0], zone)
	}
	return Whom(events[0]) + " " + What(events[0], zone)
}

// weighedLine is what a break came to: its force and its stress.
func weighedLine(out intake.Outcome, rec *tracker.Record) string {
	for _, n := range out.Notes {
		if w, ok := n.(intake.Weighed); ok {
			return Whom(out.Verdicts()[0].Event) + ": " + weighed(w, rec.Study().Units)
		}
	}
	return ""
}

// Weighed says of a break its force and its stress; empty where there is none.
func Weighed(out intake.Outcome, study *tracker.Study) (force, stress string) {
	for _, n := range out.Notes {
		if w, ok := n.(intake.Weighed); ok {
			force = boundOf(w) + study.Units.Force(w.Load.Force)
			if w.Load.Area > 0 {
				stress = boundOf(w) + study.Units.BreakStress(w.Load.Stress)
			}
		}
	}
	return force, stress
}

// wentAll says how it went with what was recorded: of one in full, of several once
// where all went alike.
func wentAll(seen []tracker.Verdict, rec *tracker.Record) string {
	if len(seen) == 1 {
		v := seen[0]
		return strings.TrimSuffix(Whom(v.Event)+" "+What(v.Event, rec.Zone())+": "+Went(v, rec), ": ")
	}
	var codes, went []string
	for _, v := range seen {
		codes, went = append(codes, v.Event.Code), append(went, What(v.Event, rec.Zone())+": "+Went(v, rec))
	}
	if len(slices.Compact(went)) == 1 {
		return strings.TrimSuffix(specimens(codes)+" "+went[0], ": ")
	}
	return specimens(codes) + " " + What(seen[0].Event, rec.Zone())
}

// Went says of the interval that an event ended how long it was, of what was planned,
// and how far within: "soak 6 d 22 h of 7 d, within 4 h". Of several the one that left
// its plan comes first. Empty where the event ended none.
func Went(v tracker.Verdict, rec *tracker.Record) string {
	if v.Specimen == nil {
		return ""
	}
	var line string
	for _, l := range rec.Life(v.Specimen.Code).Lapses {
		if !l.Done || l.Closed != v.Event.ID {
			continue
		}
		if text := went(l); line == "" || l.Verdict != schedule.Within {
			line = text
		}
	}
	return line
}

func went(l tracker.Lapse) string {
	planned := l.Interval.Planned
	text := l.Interval.Name + " " + length(l.Lo, l.Hi)
	if planned.Kind == schedule.AsPartner {
		return text
	}
	switch l.Verdict {
	case schedule.Within:
		return text + ofPlanned(planned) + within(planned, l)
	case schedule.Early:
		return text + ofPlanned(planned) + ", " + schedule.Short(planned.Length-planned.Early-l.Hi) + " short of " + schedule.Short(planned.Length-planned.Early)
	case schedule.Late:
		return text + ofPlanned(planned) + ", " + schedule.Short(l.Lo-planned.Length-planned.Late) + " over " + schedule.Short(planned.Length+planned.Late)
	}
	return text + ofPlanned(planned) + ", cannot tell"
}

func ofPlanned(p schedule.Planned) string {
	switch p.Kind {
	case schedule.AtLeast:
		return ", at least " + schedule.Short(p.Length)
	case schedule.AtMost:
		return ", at most " + schedule.Short(p.Length)
	case schedule.None:
		return ""
	}
	return " of " + schedule.Short(p.Length)
}

// within names the tolerance that a target was kept in, on its side.
func within(p schedule.Planned, l tracker.Lapse) string {
	switch {
	case p.Kind != schedule.Target:
		return ", within"
	case l.Mid() < p.Length:
		return ", within " + schedule.Short(p.Early)
	}
	return ", within " + schedule.Short(p.Late)
}

// lasted says how long the interval before something due has lasted, and of what length;
// empty where none runs.
func lasted(d tracker.Due, now time.Time) string {
	if d.Interval == "" || d.From.IsZero() {
		return ""
	}
	text := d.Interval + " " + schedule.Short(max(0, now.Sub(d.From)))
	if length := d.Window.At.Sub(d.From); length > 0 {
		text += " of " + schedule.Short(length)
	}
	return text
}

// nextOf says what comes next for what was recorded, where it is the same for all.
func nextOf(seen []tracker.Verdict, zone *time.Location) string {
	text := ""
	for _, v := range seen {
		if v.Next == nil {
			return ""
		}
		this := "next: " + Next(*v.Next, zone)
		if text != "" && this != text {
			return ""
		}
		text = this
	}
	return text
}

// whole leaves out what is said twice.
func (a Answer) whole() Answer {
	seen := map[string]bool{a.Line: true}
	once := func(texts []string) []string {
		return slices.DeleteFunc(texts, func(s string) bool {
			was := seen[s]
			seen[s] = true
			return was || s == "" || s == a.Line+notRecordedBehind
		})
	}
	a.More, a.Do = once(append(a.asks, a.More...)), once(a.Do)
	return a
}

func first(texts []string) string {
	if len(texts) == 0 {
		return ""
	}
	return texts[0]
}

// sent words what a desk says of an entry of a phone.
func sent(n intake.Note) []Sentence {
	if text := sentWords(n); text != "" {
		return []Sentence{tell("%s", text)}
	}
	switch n := n.(type) {
	case intake.PictureNotKept:
		return []Sentence{warn("%s; it is not kept, the rest is", n.Why)}
	case intake.ReadApart:
		return []Sentence{warn("%s", readApart(n))}
	}
	return nil
}

func sentWords(n intake.Note) string {
	switch n.(type) {
	case intake.UndoAhead:
		return "what it means has not come yet, and will not count when it does"
	case intake.UndoneBefore:
		return "it was taken back before it came, and does not count"
	}
	return ""
}

func readApart(n intake.ReadApart) string {
	var parts []string
	if len(n.Phone) > 0 {
		parts = append(parts, "only the phone reads "+strings.Join(n.Phone, ", "))
	}
	if len(n.Station) > 0 {
		parts = append(parts, "only the station reads "+strings.Join(n.Station, ", "))
	}
	if len(parts) == 0 {
		return "the station reads more in the photograph: " + strings.Join(n.More, ", ")
	}
	if len(n.More) > 0 {
		parts = append(parts, "the station reads more: "+strings.Join(n.More, ", "))
	}
	return "the phone and the station read the photograph differently: " + strings.Join(parts, "; ")
}

// Unfit says why an entry is none that could be taken, and what to do.
func Unfit(e *intake.Unfit) (text, do string) {
	switch {
	case e.Here != "":
		return e.Why, "nothing is recorded of it, and it stays on the phone until the station of its own study runs here"
	case e.Clash:
		return e.Why, "nothing is recorded of it; look in the specimen's life whether the first is there, then record this anew"
	}
	return e.Why, "load the page again; what is kept on the phone stays there"
}

// FoundIn says how the i-th symbol found in a photograph stands: its state, and in a few
// words what it stands for.
func FoundIn(n intake.PhotographTaken, i int, rec *tracker.Record) (state, says string) {
	f, v := n.Symbols[i], n.Found[i]
	switch {
	case !f.Ours():
		return "", "none of ours"
	case v == nil && f.Ambiguous:
		return AnswerBad, "read in two ways: look at it and type its code"
	case v == nil && f.Code.Serial == 0:
		return AnswerGood, intake.Seen(f)
	case v == nil:
		return AnswerBad, intake.Seen(f) + ": not recorded"
	case rec.Voided(v.Event.ID):
		return AnswerBad, intake.Seen(f) + ": taken back, does not count"
	case slices.ContainsFunc(v.Marks, tracker.Mark.Open):
		return AnswerAsks, intake.Seen(f) + ": asks"
	}
	return AnswerGood, strings.TrimSuffix(intake.Seen(f)+": "+cmp.Or(Went(*v, rec), What(v.Event, rec.Zone())), ": ")
}

// Unreadable says why a photograph could not be read, and what to do.
func Unreadable(err error) (text, do string) {
	return "the photograph could not be read: " + err.Error(), "photograph it again, or type the code"
}
