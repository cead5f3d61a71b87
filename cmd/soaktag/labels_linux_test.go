package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Before labels that stick on specimens become old ones, a person is asked; a
// reason given, codes and --new say already what is meant.
func TestLabelsAskBeforeReprinting(t *testing.T) {
	b := newLongBench(t)
	out := filepath.Join(t.TempDir(), "labels.pdf")
	args := []string{"labels", "--stock", "roll 50x25", "--no-cards", "--replace", "--out", out}
	b.must(append(args[:len(args):len(args)], "1-50")...)
	before, _ := os.Stat(out)
	for _, c := range []struct {
		keys   string
		more   []string
		status int
		said   string
	}{
		{"\n", nil, exitRefused, "100 of 108 labels were printed before; "},
		{"n\n", nil, exitRefused, "nothing printed"},
		{"", []string{"--new"}, exitDone, "8 labels"},
		{"y\n", nil, exitDone, "print all of them again? [y/N]"},
		{"", []string{"--reason", "ink ran"}, exitDone, "108 labels"},
		{"", []string{"3"}, exitDone, "2 labels"},
	} {
		p := b.sit(append(args[:len(args):len(args)], c.more...)...)
		p.types(c.keys)
		screen := p.ends(c.status)
		if asked := strings.Contains(screen, "[y/N]"); !strings.Contains(screen, c.said) || asked != (c.keys != "") {
			t.Errorf("%q %q: %s", c.keys, c.more, screen)
		}
		if now, _ := os.Stat(out); c.status != exitDone && now.Size() != before.Size() {
			t.Errorf("%q: %d bytes written, though nothing was to be printed", c.keys, now.Size())
		}
	}
}
