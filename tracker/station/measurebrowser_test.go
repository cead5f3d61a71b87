package station

import (
	"fmt"
	"testing"

	"soaktag/tracker"
)

// TestWeighAtTheTub weighs at the tub: beside the label that was read last, with the
// number alone; how warm the bath is, by its tag and on its page; kept with the network
// gone as everything is.
func TestWeighAtTheTub(t *testing.T) {
	h := atTheTub(t)
	h.stage("GLUE-UP")
	h.until("nothing to measure", `document.querySelector("#measure").hidden`)
	h.stage("IMMERSION")
	h.until("what is measured there", `document.querySelector("#gauges").textContent.startsWith("mass before, g: read") && document.querySelector("#gauge").disabled`)
	h.types("#code", code(3)+"\r")
	h.told("asks", code(3))
	h.until("of whom", fmt.Sprintf(`document.querySelector("#gauges").textContent === "mass before, g: %s"`, code(3)))
	h.window("measure-asked-360")
	h.types("#gauge", "a lot\r")
	if eval[bool](h.tab, `document.querySelector("#gauge").value === ""`) {
		t.Error("what is no number was taken")
	}
	h.run(`document.querySelector("#gauge").value = ""`)
	h.types("#gauge", "61,3")
	h.types("#code", code(4)+"\r") // read before SAVE: the mass stays that of the first
	h.told("asks", code(4))
	h.types("#gauge", "\r")
	h.told("good", "mass before 61.3 g")
	h.window("measure-said-360")
	h.until("the next label wanted", `document.querySelector("#gauge").disabled`)
	if mass := h.life(3).MassBefore.G(); mass < 61.299 || mass > 61.301 {
		t.Errorf("it weighs %g g on record, want 61.3", mass)
	}
	if mass := h.life(4).MassBefore.G(); mass != 0 {
		t.Errorf("%s weighs %g g", code(4), mass)
	}
	h.types("#code", "B2\r")
	h.until("how warm it is", `document.querySelector("#gauges").textContent === "water, C: bath B2"`)

	h.tap(`[data-show="bath"]`)
	h.tapOn("#shown", "B2")
	h.until("its page", `document.querySelector("#shown [data-measure]")`)
	h.window("measure-bath-360")
	h.types("#shown [data-measure] input", "19.5\r")
	h.until("it is on record", `document.querySelector("#line").textContent === "bath B2 water 19.5 C" && document.querySelector("#answer").dataset.state === "good"`)
	var warm []tracker.Value
	for _, e := range h.bench.kept(tracker.Measured) {
		if e.Bath == "B2" {
			warm = append(warm, e.Values...)
		}
	}
	if len(warm) != 1 || warm[0] != (tracker.Value{Name: "water", Text: "19.5 C"}) {
		t.Errorf("of the bath stands %+v", warm)
	}
	h.quiet()
}
