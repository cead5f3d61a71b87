package strength

import (
	"bytes"
	"encoding/json"
	"testing"
)

// A text reaches a script as it was written, where whoever writes the document
// says so; none is null.
func TestTextInJSON(t *testing.T) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode([]Text{"", `<&> "ö"`}); err != nil || out.String() != "[null,\"<&> \\\"ö\\\"\"]\n" {
		t.Errorf("%s, %v", out.String(), err)
	}
}
