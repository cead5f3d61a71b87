package wording

import (
	"fmt"
	"strings"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// onPhone is an answer as it is read on a phone: nobody types a command there, and a
// time of today or of this week needs no date.
func (a Answer) onPhone(now time.Time, zone *time.Location) Answer {
	each := func(texts []string) (all []string) {
		for _, text := range texts {
			if text = near(withoutCommands(text), now, zone); text != "" {
				all = append(all, text)
			}
		}
		return all
	}
	a.Line = asNamed.Replace(near(a.Line, now, zone))
	a.More, a.Do = each(a.More), each(a.Do)
	return a
}

// asNamed writes the names of what is measured as people say them.
var asNamed = strings.NewReplacer("mass_before", ValueName("mass_before"), "mass_after", ValueName("mass_after"))

// withoutCommands is a text without what is to be typed at a terminal. What leads to
// the command stays where it says something by itself: "break a dummy: soaktag ...".
func withoutCommands(text string) string {
	if !strings.Contains(text, "soaktag ") {
		return text
	}
	var kept []string
	for clause := range strings.SplitSeq(text, "; ") {
		lead, _, command := strings.Cut(clause, "soaktag ")
		if !command {
			kept = append(kept, clause)
			continue
		}
		lead, says := strings.CutSuffix(lead, ": ")
		if says && !strings.HasPrefix(lead, "to ") && !strings.HasPrefix(lead, "if ") && !strings.HasPrefix(lead, "two words") {
			kept = append(kept, lead)
		}
	}
	return strings.Join(kept, "; ")
}

// near is Near of a line.
func near(text string, now time.Time, zone *time.Location) string {
	return string(Near([]byte(text), now, zone))
}

// sameOnce says marks in the same words once, with all the codes.
func sameOnce(all []tracker.Mark) (texts []string) {
	words := func(m tracker.Mark) string {
		if m.Code == "" {
			return ""
		}
		return string(m.Rule) + " " + Mark(tracker.Mark{Rule: m.Rule, About: m.About, Asks: m.Asks, Accepted: m.Accepted})
	}
	var single []tracker.Mark
	for _, group := range together(all, words) {
		if group = oneEach(group); len(group) > 1 {
			texts = append(texts, marksAlike(group))
		} else {
			single = append(single, group...)
		}
	}
	for _, s := range marks(single) {
		texts = append(texts, s.Text)
	}
	return texts
}

// AsksNow says in a line why something asks that was good when it came.
func AsksNow(all []tracker.Mark, now time.Time, zone *time.Location) string {
	for i := range all {
		all[i].Remedy = tracker.Remedy{}
	}
	return near(strings.Join(sameOnce(all), "; "), now, zone)
}

// oneEach leaves one mark of each specimen: both its halves say the same.
func oneEach(group []tracker.Mark) (all []tracker.Mark) {
	for _, of := range together(group, func(m tracker.Mark) string { return m.Code }) {
		all = append(all, of[0])
	}
	return all
}

// acceptedLine says what stands now, and of whom.
func acceptedLine(n intake.Accepted, rec *tracker.Record) string {
	var all []tracker.Mark
	for _, a := range n.Of {
		e, _ := rec.Event(a.Target)
		for _, m := range rec.Verdict(e).Marks {
			if m.Rule == a.Rule {
				m.Remedy = tracker.Remedy{}
				all = append(all, m)
			}
		}
	}
	if len(all) == 0 {
		return Counted(n.Marks, "mark", "marks") + " accepted: " + n.Reason
	}
	var texts []string
	for _, text := range sameOnce(all) {
		text = strings.TrimPrefix(strings.TrimPrefix(text, "note: "), "asks: ")
		texts = append(texts, strings.TrimSuffix(text, fmt.Sprintf(" (%s)", all[len(texts)%len(all)].Rule)))
	}
	return strings.Join(texts, "; ") + ": that stands"
}

// asideBefore says that what a photograph shows was taken back since it was handed in.
func asideBefore(events []tracker.Event) string {
	var codes []string
	for _, e := range events {
		codes = append(codes, e.Code)
	}
	return specimens(codes) + " of this photograph: taken back before; nothing new is recorded: photograph anew, or type the code"
}

// readBefore says that a photograph was handed in at another stage before.
func readBefore(e tracker.Event, rec *tracker.Record) string {
	return fmt.Sprintf("this photograph was taken at %s, %s; nothing new is recorded: photograph anew",
		What(e, rec.Zone()), Span(rec.Corrected(e), rec.Zone()))
}
