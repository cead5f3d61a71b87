package intake

import (
	"encoding/hex"
	"strings"

	"soaktag/tracker"
)

// Run names what an entry recorded, among all that its phone did.
func (s Sent) Run() string {
	r := runOfSent(s.ID)
	return hex.EncodeToString(r[:])
}

// AsksOfPhones are the marks that ask, by the id of the phone that recorded what they hang
// on, and there by Sent.Run of the entry: what was good when it came may ask since another
// device recorded something that does not go with it.
func AsksOfPhones(rec *tracker.Record) map[string]map[string][]tracker.Mark {
	all := map[string]map[string][]tracker.Mark{}
	for _, m := range rec.OpenMarks() {
		e, _ := rec.Event(m.Event)
		r, named := runOf(e.ID)
		if !named || !ofPhone(e) {
			continue
		}
		phone, _, _ := strings.Cut(lastWord(e.Device), "/")
		if all[phone] == nil {
			all[phone] = map[string][]tracker.Mark{}
		}
		run := hex.EncodeToString(r[:])
		all[phone][run] = append(all[phone][run], m)
	}
	return all
}
