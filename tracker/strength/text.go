package strength

import "encoding/json"

// Text is a string of which the empty one means not known, and is written
// null in JSON.
type Text string

// MarshalJSON writes null for the empty Text.
func (t Text) MarshalJSON() ([]byte, error) {
	if t == "" {
		return []byte("null"), nil
	}
	return json.Marshal(string(t))
}
