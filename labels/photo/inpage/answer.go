//go:build js && wasm

package main

import (
	"encoding/json"
	"strings"

	"soaktag/labels/photo"
)

// An answer is what a picture shows, or why it was not read.
type answer struct {
	Found []sight `json:"found"`
	Error string  `json:"error,omitempty"`
}

// A sight is a photo.Found as the page keeps, outlines and sends it.
type sight struct {
	Text      string        `json:"text"`
	How       photo.How     `json:"how"`
	Corners   [4][2]float64 `json:"corners"` // in pixels of the picture that was handed over
	Ambiguous bool          `json:"ambiguous"`
	Code      string        `json:"code,omitempty"` // of the whole specimen, HBR-017-J
	Half      int           `json:"half,omitempty"`
}

func sightsOf(found []photo.Found) []sight {
	all := make([]sight, len(found))
	for i, f := range found {
		all[i] = sight{Text: strings.ToValidUTF8(f.Text, "\uFFFD"), How: f.How, Ambiguous: f.Ambiguous, Half: f.Half}
		if f.Code.Serial != 0 {
			all[i].Code = f.Code.Whole().String()
		}
		for j, p := range f.Corners {
			all[i].Corners[j] = [2]float64{p.X, p.Y}
		}
	}
	return all
}

func textOf(a answer) string {
	text, err := json.Marshal(a)
	if err != nil { // a corner without an end to it
		return `{"error":"an answer that is no number"}`
	}
	return string(text)
}
