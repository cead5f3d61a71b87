package main

import (
	"slices"
	"strings"

	"soaktag/tracker"
)

// A caution is what to mind at a stage.
type caution struct{ stage, text string }

// cautions returns those that apply to the study, short, stage by stage.
func cautions(study *tracker.Study) []caution {
	list := []caution{
		{"cut", "cut long strips, crosscut short pieces with a sled and a stop; extraction and a mask for dust"},
		{"planing", "plane the long board before cutting it; short stock shatters in a planer"},
	}
	for _, a := range study.Adhesives {
		if text := adhesiveCaution(a); text != "" {
			list = append(list, caution{"glue-up", a.Key + ": " + text})
		}
	}
	list = append(list, caution{"clamp removal", "keep fingers and face clear of a loaded clamp"})
	if slices.ContainsFunc(study.Treatments, func(t tracker.Treatment) bool { return t.Soaked }) {
		list = append(list, caution{"immersion", "put ten trial labels under water first, and read them there: soaktag labels --trial"},
			caution{"immersion", "lid or locked room: a child can drown in a tub; 60 L of water weigh 60 kg"},
			caution{"lift-out", "old bath water: gloves, cover cuts, air the room"})
	}
	if slices.ContainsFunc(study.Treatments, boils) {
		list = append(list, caution{"boiling", "it scalds: lid, tongs, long gloves; a timer, and top up with hot water before it boils dry"})
	}
	return append(list, caution{"break", "screen between eyes and ram, stand to the side, every part below its working limit"})
}

// adhesiveCaution goes by the words in an adhesive's name.
func adhesiveCaution(a tracker.Adhesive) string {
	name := strings.ToLower(a.Name)
	for _, c := range []struct{ word, text string }{
		{"polyurethane", "isocyanates: gloves, air; nobody with asthma near it"},
		{"epoxy", "no skin contact, thick nitrile gloves; a big pot runs hot"},
		{"formaldehyde", "formaldehyde: air, gloves, eye protection"},
		{"resorcinol", "formaldehyde: air, gloves, eye protection"},
		{"casein", "lime: eyes and gloves"},
		{"cyanoacrylate", "bonds skin: soak, never pull; keep from cotton"},
	} {
		if strings.Contains(name, c.word) {
			return c.text
		}
	}
	return ""
}
