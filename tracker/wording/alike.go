package wording

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/tracker"
)

// mostAlike is how many lines that differ in nothing but the specimen are told one
// by one; more of them are one line. Four labels in a row are still looked through
// one by one.
const mostAlike = 3

// RecordedAll says what was committed, in lines: of more specimens than a few that
// differ in nothing else one line, where the first of them stood.
func RecordedAll(verdicts []tracker.Verdict, zone *time.Location) (lines []string) {
	rest := func(v tracker.Verdict) string {
		if v.Specimen == nil || v.Event.Half != 0 || otherLabel(v) {
			return "" // no two of these are alike
		}
		asks := slices.ContainsFunc(v.Marks, tracker.Mark.Open)
		return fmt.Sprint(recordedWhat(v, zone), asks)
	}
	for _, group := range together(verdicts, rest) {
		if len(group) <= mostAlike {
			for _, v := range group {
				lines = append(lines, Recorded(v, zone))
			}
			continue
		}
		var codes []string
		for _, v := range group {
			codes = append(codes, v.Event.Code)
		}
		lines = append(lines, "recorded  "+specimens(codes)+recordedWhat(group[0], zone))
	}
	return lines
}

// together groups what has the same key, in the order in which each first comes;
// what has none stands alone.
func together[T any](all []T, key func(T) string) (groups [][]T) {
	at := map[string]int{}
	for _, one := range all {
		k := key(one)
		i, seen := at[k]
		if k == "" || !seen {
			at[k], groups = len(groups), append(groups, []T{one})
			continue
		}
		groups[i] = append(groups[i], one)
	}
	return groups
}

// specimens counts codes and names them: by the first and the last where they
// follow each other, each where they are few, else by their serials, as they can be
// typed again.
func specimens(codes []string) string {
	codes = slices.Clone(codes)
	slices.SortStableFunc(codes, func(a, b string) int { return cmp.Compare(serial(a), serial(b)) })
	codes = slices.Compact(codes)
	runs := serialRuns(codes)
	named := strings.Join(runs, ", ")
	switch {
	case len(codes) == 1:
		return codes[0]
	case len(runs) == 1:
		named = codes[0] + " to " + codes[len(codes)-1]
	case len(codes) <= fewCodes || serial(codes[0]) == 0:
		named = strings.Join(codes, ", ")
	}
	return Plural(len(codes), "specimen") + " " + named
}

// Codes says how many specimens there are, from the first to the last of them.
func Codes(all []tracker.Specimen) string {
	if len(all) == 0 {
		return "none"
	}
	return fmt.Sprintf("%d: %s to %s", len(all), all[0].Code, all[len(all)-1].Code)
}

// SoFar is the last stage that a specimen has been through, and how many have.
func SoFar(rec *tracker.Record) string {
	text := "begun"
	for _, st := range rec.StagesDone() {
		if st.Done > 0 {
			text = fmt.Sprintf("%s %d of %d", st.Stage, st.Done, st.Of)
		}
	}
	return text
}

// serial is that of a code; 0 of what is none.
func serial(text string) int {
	code, err := labels.Parse(text)
	if err != nil {
		return 0
	}
	return code.Serial
}

// serialRuns writes the serials of codes that rise as 1-3, 7.
func serialRuns(codes []string) (runs []string) {
	for i := 0; i < len(codes); {
		last := i
		for last+1 < len(codes) && serial(codes[last+1]) == serial(codes[last])+1 {
			last++
		}
		run := strconv.Itoa(serial(codes[i]))
		if last > i {
			run += "-" + strconv.Itoa(serial(codes[last]))
		}
		runs, i = append(runs, run), last+1
	}
	return runs
}

// marks tells of marks; more than a few of one rule, whether they ask or not, in
// one sentence.
func marks(all []tracker.Mark) (out []Sentence) {
	kind := func(m tracker.Mark) string {
		if m.Code == "" {
			return ""
		}
		return fmt.Sprintf("%s %t %T", m.Rule, m.Open(), m.About)
	}
	for _, group := range together(all, kind) {
		if len(group) > mostAlike {
			out = append(out, tell("%s", marksAlike(group)))
			continue
		}
		for _, m := range group {
			out = append(out, tell("%s", Mark(m)))
		}
	}
	return out
}

// marksAlike says marks of one rule once: in the words that all share, or in those
// of the first.
func marksAlike(group []tracker.Mark) string {
	var codes []string
	text := MarkText(group[0])
	shared := true
	for _, m := range group {
		codes = append(codes, m.Code)
		shared = shared && MarkText(m) == text
	}
	text = fmt.Sprintf("%s (%s)", text, group[0].Rule)
	if !shared {
		text = "such as " + markOn(group[0])
	}
	return markLead(group[0]) + ": " + specimens(codes) + ": " + text
}
