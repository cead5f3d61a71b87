package wording

import (
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// TestPhotographs pins what is said of photographs, each sentence on a line:
// told plainly, "!" for a warning, "?" for what to do.
func TestPhotographs(t *testing.T) {
	taken := schedule.At(time.Date(2026, 2, 21, 8, 30, 0, 0, time.UTC))
	entry := tracker.Event{ID: "photo-4e88", Kind: tracker.Staged, Code: "HBR-017-J", Half: 1, Stage: "cut", At: taken}
	nth := func(seq int64) tracker.Event {
		e := entry
		e.Seq = seq
		return e
	}
	dated := func(names ...string) (all []intake.Dated) {
		for _, name := range names {
			all = append(all, intake.Dated{Name: name, Taken: taken})
		}
		return all
	}
	noStage := tracker.Mark{Rule: tracker.RuleNoStage, Asks: true, Event: "e", Code: "HBR-017-J"}
	given := intake.Given{Stage: "glue-up", Words: []string{"my photos"}}
	for _, test := range []struct {
		note intake.Note
		want string
	}{
		{intake.NoLabel{Name: "a.jpg"}, "a.jpg: no label found; not kept"},
		{intake.NoLabel{Name: "a.jpg", Named: true, Any: true}, "!a.jpg: no label found; not kept\n?go nearer, hold still and avoid glare; or type the code: soaktag log CODE --stage STAGE --at TIME"},
		{intake.Twin{Name: "a.jpg", Label: "HBR-017-J/1", Places: 3}, "!a.jpg: HBR-017-J/1 stands in 3 places: there is one such label, so the others are misread, or copies of it"},
		{intake.SeveralStages{Name: "a.jpg", Stages: []string{"cut", "glue-up"}, Given: "cut"}, "a.jpg: it shows the cards of several stages, cut and glue-up: taken as cut, as --stage says"},
		{intake.SeveralStages{Name: "a b.jpg", Stages: []string{"cut", "glue-up"}}, "!a b.jpg: it shows the cards of several stages, cut and glue-up: none is in force\n?photograph one stage card at a time; or say which it was: soaktag read \"a b.jpg\" --stage STAGE"},
		{intake.CardExpired{Stage: "cut", Ago: 16 * time.Minute}, "cut is no longer in force 16 min after its last photograph"},
		{intake.ProbableCard{Name: "a.jpg", Text: ".CUT"}, "!a.jpg: the card .CUT is probable, not decoded; look whether it is that card"},
		{intake.CountAgain{Name: "a.jpg", Entries: 2}, "a.jpg: recorded again, 2 labels"},
		{intake.StageGiven{Name: "a.jpg", Stage: "cut", Entries: 1, Left: 3}, "a.jpg: 1 entry of this photograph now says cut; 3 left alone: with a stage already, corrected or set aside"},
		{intake.StageGiven{Name: "a.jpg", Stage: "cut", Entries: 2}, "a.jpg: 2 entries of this photograph now say cut"},
		{intake.ReadAtStage{Entries: []tracker.Event{entry}, InForce: "glue-up", AtOnce: true}, `?HBR-017-J/1: read in this photograph before, as cut, and left so; to change that: soaktag amend correct photo-4e88 stage="glue-up" --reason "why"`},
		{intake.ReadAtStage{Entries: []tracker.Event{entry, entry}, InForce: "glue-up", AtOnce: true}, "HBR-017-J/1 and 1 more: read in this photograph before, as cut, and left so"},
		{intake.ReadAtStage{Entries: []tracker.Event{nth(12), nth(14), nth(15), nth(13), nth(20)}, InForce: "glue-up"}, `?HBR-017-J/1 and 4 more: read in this photograph before, as cut, and left so; to change that: soaktag amend correct 12-15 20 stage="glue-up" --reason "why"`},
		{intake.ReadAtTime{Event: entry}, `?HBR-017-J/1: read in this photograph before, at Sat 2026-02-21 08:30 UTC, and left so; to change that: soaktag amend correct photo-4e88 --at TIME --reason "why"`},
		{intake.YesToNothing{Name: "y.jpg"}, "y.jpg: YES, but nothing asks"},
		{intake.YesActedBefore{Name: "y.jpg"}, "y.jpg: YES was read before, and accepts nothing more"},
		{intake.UndoActedBefore{Name: "u.jpg"}, "u.jpg: UNDO was read before, and takes nothing more back"},
		{intake.UndoActedBefore{Name: "u.jpg", Again: true}, "u.jpg: UNDO took this back before; it was recorded again since, and stays"},
		{intake.CameraOff{Name: "c.jpg", Device: "Wren", Ahead: 72 * time.Minute}, "c.jpg: the clock of Wren is 1 h 12 min fast"},
		{intake.Zoneless{Photographs: 2, Zone: time.UTC}, "2 photographs without a time zone: taken as of UTC"},
		{intake.TimeUnused{At: "08:00", Own: dated("p/a.jpg", "b.jpg", "c.jpg", "d.jpg")},
			"--at not used for 4 photographs: a.jpg has its own time, Sat 2026-02-21 08:30 UTC; b.jpg has its own time, Sat 2026-02-21 08:30 UTC; c.jpg has its own time, Sat 2026-02-21 08:30 UTC; and 1 more\n?where its own time is wrong: soaktag read p/a.jpg --at 08:00 --correct --reason \"why\""},
		{intake.ClockUnset{Dated: dated("a.jpg")[0], More: 1, Odd: intake.LongBefore, Device: "Lark P2"},
			"!a.jpg and 1 more: the camera's clock says Sat 2026-02-21 08:30 UTC, long before this study: is it set?\n?say what it shows at what time, for all its photographs: soaktag log --stage clock --device \"Lark P2\" --shown TIME --at TIME\n?or give the time of one: soaktag read a.jpg --at TIME --correct --reason \"why\""},
		{intake.ClockUnset{Dated: dated("a.jpg")[0], Odd: intake.StillToCome},
			"!a.jpg: the camera's clock says Sat 2026-02-21 08:30 UTC, still to come: is it set?\n?or give the time of one: soaktag read a.jpg --at TIME --correct --reason \"why\""},
		{intake.LeftAtStage{Given: given, Names: []string{"a.jpg"}}, `?all labels of a photograph at once: soaktag read a.jpg --stage glue-up --correct --reason "why"`},
		{intake.LeftAside{Names: []string{"a.jpg"}}, "!a.jpg: all that was read in it was set aside, and stays so\n?to record it again: soaktag read a.jpg --stage STAGE --correct --reason \"why\""},
		{intake.RollTaken{Labels: 1, Before: 2, Right: 3, Photographs: 4, Untaken: 1}, "1 label recorded from 4 photographs, 2 known before, 3 put right, 1 not taken"},
		{intake.RollAsks{Marks: []tracker.Mark{noStage}, Unstaged: []string{"a.jpg"}}, `?1 mark asks: say which stage: soaktag read a.jpg --stage STAGE, or ` + AcceptCommand([]tracker.Mark{noStage})},
		{intake.RollAsks{Given: given, Marks: []tracker.Mark{noStage, noStage}, Unstaged: []string{"a", "b", "c", "d"}, Others: true},
			`?2 marks ask: what has no stage: soaktag read "my photos" --stage STAGE; else put it right with soaktag amend, or ` + AcceptCommand([]tracker.Mark{noStage, noStage})},
		{intake.RollAsks{Marks: []tracker.Mark{noStage}, Others: true}, `?1 mark asks: put it right with soaktag amend, or ` + AcceptCommand([]tracker.Mark{noStage})},
		{intake.RollInterrupted{Photographs: 3, Nothing: true}, "interrupted: nothing recorded; type the same command again"},
		{intake.RollInterrupted{Labels: 2, Taken: 1, Photographs: 3}, "interrupted: 2 labels recorded from 1 of 3 photographs, and nothing by halves; the same command again goes on from there"},
	} {
		var lines []string
		for _, s := range Note(test.note, &tracker.Study{Zone: time.UTC}) {
			lines = append(lines, map[Tone]string{Warned: "!", Advised: "?"}[s.Tone]+s.Text)
		}
		if got := strings.Join(lines, "\n"); got != test.want {
			t.Errorf("%T:\n%s\nwant\n%s", test.note, got, test.want)
		}
	}
}

// TestPhotographLines pins the lines of a listing.
func TestPhotographLines(t *testing.T) {
	taken := schedule.At(time.Date(2026, 2, 21, 8, 30, 0, 0, time.UTC))
	seen := intake.PhotographSeen{Name: "a.jpg", Taken: taken}
	for want, n := range map[string]intake.PhotographSeen{
		"a.jpg  Sat 2026-02-21 08:30 UTC  nothing to record":        seen,
		"a.jpg  Sat 2026-02-21 08:30 UTC  1 label, card yes, clock": {Name: "a.jpg", Taken: taken, Labels: 1, Cards: []labels.Card{{Kind: labels.CardYes}}, Clock: true},
	} {
		if got := PhotographSeen(n, time.UTC); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
	entry := tracker.Event{Kind: tracker.Staged, Code: "HBR-017-J", Half: 1, Stage: "cut", At: taken}
	for standing, lead := range map[intake.Standing]string{intake.New: "recorded ", intake.PutRight: "now says ", intake.Known: "known    ", intake.CountsNot: "set aside"} {
		got := LabelSeen(intake.LabelSeen{Verdict: tracker.Verdict{Event: entry}, Standing: standing}, time.UTC)
		if want := lead + " HBR-017-J/1  cut  Sat 2026-02-21 08:30 UTC"; got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}
