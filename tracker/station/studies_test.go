package station

import (
	"path/filepath"
	"testing"

	"soaktag/tracker"
)

// TestAnotherStudyAtThisAddress: what a phone kept for one study waits until that study
// is served again, whatever is served at the same address meanwhile.
func TestAnotherStudyAtThisAddressInABrowser(t *testing.T) {
	s := newShop(t, 8)
	h := s.handset(browse(t))
	h.pair("Ann's phone")
	h.stage("GLUE-UP")
	h.types("glue-up", serials(1, 1)...)
	h.delivered()
	s.kill()
	h.types("glue-up", serials(2, 3)...)
	h.kept(2)

	own := s.file
	s.file = begun(t, smallPlan, dealt())
	s.open()
	h.pair("Ann's phone")
	h.until("that they are of another study", `document.getElementById("warned").textContent.startsWith("2 entries are of another study")`)
	h.until("no stage of the other study", `document.getElementById("word").textContent === "NO STAGE"`)
	if n := len(s.record().Events()); n != 1 {
		t.Errorf("%s holds %d events, want its beginning alone", filepath.Base(s.file), n)
	}

	s.kill()
	s.file = own
	s.open()
	h.reload()
	h.delivered()
	staged := 0
	for _, e := range s.record().Events() {
		if e.Kind == tracker.Staged {
			staged++
		}
	}
	if staged != len(h.did) {
		t.Errorf("the study holds %d entries of %d", staged, len(h.did))
	}
}
