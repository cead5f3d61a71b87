package tracker

import "strings"

// A Hazard is what an adhesive can do to whoever glues with it.
type Hazard struct {
	Danger string // in a word or two
	Care   string // what to do about it; goes on behind Danger
}

// hazards go by the words in an adhesive's name.
var hazards = [...]struct {
	word string
	Hazard
}{
	{"polyurethane", Hazard{"isocyanates", ": gloves, air; nobody with asthma near it"}},
	{"epoxy", Hazard{"no skin contact", ", thick nitrile gloves; a big pot runs hot"}},
	{"formaldehyde", Hazard{"formaldehyde", ": air, gloves, eye protection"}},
	{"resorcinol", Hazard{"formaldehyde", ": air, gloves, eye protection"}},
	{"casein", Hazard{"lime", ": eyes and gloves"}},
	{"cyanoacrylate", Hazard{"bonds skin", ": soak, never pull; keep from cotton"}},
}

// Hazard finds what an adhesive can do by its name; false where nothing is known.
func (a Adhesive) Hazard() (Hazard, bool) {
	name := strings.ToLower(a.Name)
	for _, h := range hazards {
		if strings.Contains(name, h.word) {
			return h.Hazard, true
		}
	}
	return Hazard{}, false
}
