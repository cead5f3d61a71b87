package strength

import (
	"bytes"
	"encoding/json"
)

// Text is a string of which the empty one means not known, and is written
// null in JSON.
type Text string

// MarshalJSON writes null for the empty Text.
func (t Text) MarshalJSON() ([]byte, error) {
	if t == "" {
		return []byte("null"), nil
	}
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false) // whoever encodes the whole may still ask for it
	err := encoder.Encode(string(t))
	return bytes.TrimSpace(out.Bytes()), err
}
