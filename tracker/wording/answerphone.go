package wording

import (
	"fmt"
	"regexp"
	"strings"
	"time"

	"soaktag/schedule"
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
	a.Line = near(a.Line, now, zone)
	a.More, a.Do = each(a.More), each(a.Do)
	return a
}

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

// instants is an instant as Time has it.
var instants = regexp.MustCompile(`\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) (\d{4}-\d\d-\d\d \d\d:\d\d) ([A-Z]{2,5}|[+-]\d{2,4})(?:\b|$)`)

// near shortens the instants in a text as far as no doubt comes of it: to "15:04" on
// the day itself, to "Mon 15:04" within a week.
func near(text string, now time.Time, zone *time.Location) string {
	return instants.ReplaceAllStringFunc(text, func(whole string) string {
		parts := instants.FindStringSubmatch(whole)
		t, err := time.ParseInLocation("2006-01-02 15:04", parts[1], zone)
		here := now.In(zone)
		switch {
		case err != nil || parts[2] != here.Format("MST") || t.Sub(now).Abs() >= 6*schedule.Day:
			return whole
		case t.Format(time.DateOnly) == here.Format(time.DateOnly):
			return t.Format("15:04")
		}
		return t.Format("Mon 15:04")
	})
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

// readBefore says that a photograph was handed in at another stage before.
func readBefore(e tracker.Event, rec *tracker.Record) string {
	return fmt.Sprintf("this photograph was taken at %s, %s; nothing new is recorded: photograph anew",
		What(e, rec.Zone()), Span(rec.Corrected(e), rec.Zone()))
}
