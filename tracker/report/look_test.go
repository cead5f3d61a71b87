package report_test

import (
	"os"
	"testing"
)

func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip()
	}
	slide := ofDemo()
	slide.Slide = true
	for name, text := range map[string]string{"demo": written(t, demo(t), ofDemo()), "one": written(t, one(t), ofDemo()),
		"slide": written(t, demo(t), slide), "oneslide": written(t, one(t), slide),
		"empty": written(t, begun(t, demoFile(t, "oar-loft.toml"), demoFile(t, "specimens.csv")), ofDemo())} {
		if err := os.WriteFile(dir+"/"+name+".html", []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		t.Log(name, len(text))
	}
}
