package photo

import (
	"errors"
	"strings"
	"testing"

	"soaktag/labels"
)

func TestParseList(t *testing.T) {
	code := labels.New("HBR", 17)
	l, err := ParseList([]byte("\ufeff# of the bench\n\n " + strings.ToLower(code.String()) + "\r\n.cut\n"))
	if err != nil || l == nil {
		t.Fatal(err)
	}
	for _, text := range []string{code.Packed(), ".CUT"} {
		if _, ok := l.byText[text]; !ok {
			t.Errorf("no %s on the list", text)
		}
	}
	var wrong *LineError
	if _, err := ParseList([]byte("\nHBR-017-K\n")); !errors.As(err, &wrong) || wrong.Line != 2 || wrong.Text != "HBR-017-K" {
		t.Errorf("%v", err)
	}
	if _, err := ParseList([]byte(strings.Repeat("x", 100_000))); err == nil {
		t.Error("a line without an end is taken")
	}
}
