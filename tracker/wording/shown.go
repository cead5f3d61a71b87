package wording

import (
	"fmt"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// What a page of a station says beside what screens say too.
const (
	ClockFor = "Photograph this symbol with every camera whose photographs will be read here. " +
		"It shows the time of this computer, so that it is known how far the camera's own clock is off; once is enough until somebody sets that clock."
	SubscribeFor = "A calendar that subscribes to this link shows what is to be done next and asks again by itself. " +
		"Whoever has the link sees this calendar and nothing else."
	SubscribeTLS = "The certificate is this computer's own: many calendars refuse it. Take the file once then, or start the station without --tls."
	GuestFor     = "This link shows the results and the report, and nothing else: no specimen, no photograph to be taken, nothing to be recorded."
	HiddenFor    = "The adhesive is not shown: this one is still to be broken, blind."
	NoPhotos     = "no photograph of it is kept"
	LabelsFor    = "Labels that were never printed, or are to be replaced. Print at 100 %, not fitted to the page, and measure the scale bar."
	AllPrinted   = "Every label is printed already; that of one specimen is printed again on its page."
	NoBath       = "This study has no bath."
	DummyOnPhone = "Put the dummy into the press, tap below, and give what the gauge showed and how it ended. It is in no result."
	LabelAgain   = "label lost or damaged: print it again"
)

// OneDue words one thing to be done.
func OneDue(study *tracker.Study, d tracker.Due) DueSaid {
	return dueSaid(study, tracker.DueBlocks(study.GroupDue([]tracker.Due{d}))[0])
}

// BathHolds counts what belongs into a bath: "2 of 4 in it, 1 lifted out, 1 gone".
func BathHolds(b intake.BathNow) string {
	all := len(b.In) + len(b.ToCome) + len(b.Out) + len(b.Gone)
	text := fmt.Sprintf("%d of %d in it", len(b.In), all)
	for _, part := range (tally{{len(b.ToCome), "to come"}, {len(b.Out), outWord(b.Out)}, {len(b.Gone), "gone"}}).parts() {
		text += ", " + part
	}
	return text
}

// outWord says what became of those that are out of a bath.
func outWord(out []*tracker.Life) string {
	for _, life := range out {
		if len(life.Spells) == 0 {
			return "lifted out or broken"
		}
	}
	return "lifted out"
}

// TagMeans is what a bath's tag would record at a stage: "lift-out of 4 specimens of
// bath B1".
func TagMeans(bath string, m intake.Means) string {
	return fmt.Sprintf("%s of %s of bath %s", m.Stage, Plural(len(m.Codes), "specimen"), bath)
}

// TagLeaves says for whom of a bath a stage is not yet open, and so is not meant by
// its tag; empty where it means all that wait.
func TagLeaves(m intake.Means, zone *time.Location) (lines []string) {
	for _, n := range m.Others {
		if !n.Opens.IsZero() {
			lines = append(lines, fmt.Sprintf("not %s: their %s opens %s", someCodes(n.Codes), n.Next, Time(n.Opens, zone)))
		}
	}
	return lines
}

// LeftBath says how a specimen that is no longer in its bath stands: what comes next,
// or how it ended.
func LeftBath(life *tracker.Life) string {
	parted := life.Break()
	switch {
	case life.End != "":
		return string(life.End) + led(": ", life.EndNote)
	case parted != nil && parted.How == tracker.FellApart:
		return string(parted.How)
	case parted != nil:
		return "broken"
	case life.Next == "":
		return ""
	}
	return "next: " + string(life.NextNamed()) + Again(life)
}

// Stands says how a specimen stands, and of one that is broken how it broke.
func Stands(life *tracker.Life) string {
	if parted := life.Break(); parted != nil && life.End == "" && parted.How != tracker.FellApart {
		return "broken: " + Try(&parted.Try)
	}
	return LeftBath(life)
}

// Became asks what became of a specimen that may be told of in words.
func Became(words []string) string {
	if len(words) == 1 {
		return "is it back?"
	}
	return "set it aside"
}

// UsefulTime says of what waits for a specimen what whoever stands before it wants to
// know, and then how far it is: "by 17:00; soak 7 d 1 h of 7 d".
func UsefulTime(d tracker.Due, now time.Time, zone *time.Location) string {
	text, w := Window(d, zone), d.Window
	switch {
	case d.State == schedule.Overdue:
		text = "over by " + schedule.Short(d.Over)
	case !w.Closes.IsZero() && !now.Before(w.Opens):
		text = "by " + Time(w.Closes, zone)
	case !w.Opens.IsZero() && now.Before(w.Opens):
		text = "from " + Time(w.Opens, zone)
	}
	return text + led("; ", lasted(d, now))
}

// Shortly is UsefulTime for a button, with times as somebody near them needs them.
func Shortly(d tracker.Due, now time.Time, zone *time.Location) string {
	return near(UsefulTime(d, now, zone), now, zone)
}

// DoesAsk asks whether something is really to be recorded.
func DoesAsk(what string) string { return "Record " + what + "?" }

// PrintedFrom notes with labels which phone had them printed.
func PrintedFrom(phone string) string { return "printed from " + OneLine(phone) }

// LabelIssues says which issue of its labels a specimen bears.
func LabelIssues(life *tracker.Life) string {
	return fmt.Sprintf("half 1: issue %d, half 2: issue %d", max(1, life.Issue[0]), max(1, life.Issue[1]))
}
