package photo

import (
	"testing"
	"time"
)

func TestClockText(t *testing.T) {
	at := time.Date(2026, 3, 21, 11, 15, 30, 999, time.FixedZone("", 3600))
	if text := ClockText(at); text != ".CLOCK20260321101530" {
		t.Errorf("%s", text)
	}
	if got, ok := ParseClock(ClockText(at)); !ok || !got.Equal(at.Truncate(time.Second)) {
		t.Errorf("%v %v", got, ok)
	}
	for _, text := range []string{"", ".CLOCK", ".CLOCK2026032110153", ".CLOCK20260231101530", ".CLOCK202603211015300", "CLOCK20260321101530", ".CLOCKWISE",
		".CLOCK00010101000000", ".CLOCK20191231235959", ".CLOCK22000101000000", ".CLOCK99991231235959"} {
		if got, ok := ParseClock(text); ok {
			t.Errorf("%q is read as %v", text, got)
		}
	}
}
