package wording

import (
	"cmp"
	"fmt"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// Refusal words why something was not taken, and, to be told on a line of its
// own, what would put it right; empty where the reason says it all.
func Refusal(r *intake.Refusal) (why, help string) {
	if text := Cause(r.Cause); text != "" {
		return text, Help(r.Help)
	}
	return r.Why, Help(r.Help)
}

// Help says what would put right what a desk refused, as what to type where a
// command does it; empty for no help.
func Help(h intake.Help) string {
	switch h := h.(type) {
	case intake.ReadAgain:
		if len(h.Near) == 0 {
			return "read the label again, or type the code by hand"
		}
		return "nearest: " + strings.Join(h.Near, ", ") + "; look at the specimen and type its code"
	case intake.SeeStatus:
		return "soaktag status says how far the specimens are"
	case intake.Advice:
		return h.Text
	case intake.BreakWithReading:
		return breakCommand(h)
	case intake.ReadingFollows:
		return "scan a label, then type what the gauge showed; scan the next, or say first how the try ended where the bond did not separate"
	case intake.PrintTrial:
		return "soaktag labels --trial --stock STOCK --out trial.pdf"
	case intake.WriteUpOne:
		return fmt.Sprintf("if it happened all the same: soaktag log CODE --stage %s --at TIME; soaktag history CODE says what is recorded of one", ShellWord(string(h.Stage)))
	case intake.InQuotes:
		return fmt.Sprintf("two words are one in quotes: soaktag log \"%s NAME\" --stage STAGE", h.Lead)
	case intake.ChangeIn:
		return WaterCommand(h.Baths) + ", or scan the tags of the baths"
	case intake.NameThem:
		return "if it happened all the same, name them one by one; soaktag status says how far the specimens are"
	case intake.NameTheCodes:
		return "name them by their codes or serials, or by the bath they lie in"
	case intake.SeeTrial:
		return "soaktag labels --trial says how they are"
	case intake.PutUnderWater:
		return "soaktag log trial --stage immersion; to read them, scan them"
	case intake.StagesAre:
		return fmt.Sprintf("stages are %s; log also takes damaged, lost, found, withdrawn, clock", strings.Join(h.Names, ", "))
	case intake.VoidEarlier:
		return "soaktag amend void last --reason \"why\" takes back what was recorded before"
	case intake.LookAndType:
		return "photograph it again from nearer, or look at the label and type its code: soaktag log CODE --stage STAGE --at TIME"
	case intake.LookAtTwins:
		return "look at them (--show FILE.png outlines them); another specimen by hand: soaktag log CODE --stage STAGE --at TIME"
	case intake.LogBath:
		return fmt.Sprintf("soaktag log \"bath %s\" --stage STAGE --at TIME records whom it holds", h.Bath)
	case intake.GiveTime:
		return fmt.Sprintf("soaktag read %s --at \"2026-03-27 18:10\", or a range --at \"09:30..10:15\"", ShellWord(h.Name))
	case intake.BathsAre:
		return "its baths: " + orNone(strings.Join(h.Names, ", "))
	}
	if text := formHelp(h); text != "" {
		return text
	}
	return amendHelp(h)
}

func breakCommand(h intake.BreakWithReading) string {
	subject, lead, rig, at := "CODE", "", "", ""
	if h.Subject != "" {
		subject = ShellWord(h.Subject)
	} else if !h.Timed {
		lead = "a break wants its reading: "
	}
	if h.Choose {
		rig = " --rig NAME"
	}
	if h.Timed {
		at = " --at TIME"
	}
	reading := cmp.Or(h.Reading, "READING UNIT")
	return fmt.Sprintf("%ssoaktag break %s --reading %q%s --ended separated%s", lead, subject, reading, rig, at)
}

// RigFlag is what names the rig, where there is a choice.
func RigFlag(study *tracker.Study) string {
	if len(study.Rigs) < 2 {
		return ""
	}
	return " --rig NAME"
}

func orNone(text string) string {
	if text == "" {
		return "none"
	}
	return text
}
