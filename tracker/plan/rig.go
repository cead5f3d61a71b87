package plan

import (
	"fmt"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// readRigs reads every [[rig]].
func readRigs(root table, s *tracker.Study) {
	for _, t := range root.list("rig") {
		rig := readRig(t)
		for _, other := range s.Rigs {
			if other.Name == rig.Name && rig.Name != "" {
				t.at("name", note{Error, "duplicate-rig", fmt.Sprintf("two rigs are named %q", rig.Name), "each combination of press, ram, gauge and jig needs a name of its own"})
			}
		}
		s.Rigs = append(s.Rigs, rig)
	}
}

func readRig(t table) tracker.Rig {
	rig := tracker.Rig{Name: t.needText("name")}
	rig.Load, _ = t.someText("load")
	rig.RamArea = readRam(t)
	rig.Gauge = readGauge(t.need("gauge", "add gauge = { reads = \"pressure\", "+t.r.units.Choose(`span = "25 MPa", division = "0.2 MPa"`, `span = "4000 psi", division = "50 psi"`)+" }"))
	rig.Stroke = positive(t, "stroke_volume", "volume", quantity.ParseVolume)
	rig.Give = positive(t, "give", "length", quantity.ParseLength)
	rig.Rate = positive(t, "rate", "speed", quantity.ParseSpeed)
	limited := false
	for _, part := range t.list("parts") {
		limited = limited || part.has("working_limit")
		p := tracker.Part{Name: part.needText("name")}
		p.WorkingLimit = positive(part, "working_limit", "force", quantity.ParseForce)
		rig.Parts = append(rig.Parts, p)
	}
	if !limited {
		t.here("parts", note{Hint, "no-working-limit", fmt.Sprintf("no part of the rig %q has a working limit: whether it is strong enough cannot be told", rig.Name), "add parts = [{ name = \"frame\", working_limit = " + t.r.units.Choose(`"98 kN"`, `"12 US ton"`) + " }]"})
	}
	checkRam(t, rig)
	return rig
}

func readRam(t table) quantity.Area {
	area := positive(t, "ram_area", "area", quantity.ParseArea)
	bore := positive(t, "ram_bore", "length", quantity.ParseLength)
	if t.has("ram_area") && t.has("ram_bore") {
		t.at("ram_bore", note{Error, "ram-twice", t.title() + " has both ram_area and ram_bore", "keep the one that was measured"})
	}
	if t.has("ram_bore") {
		return quantity.Circle(bore)
	}
	return area
}

// checkRam: a gauge that reads pressure says nothing of force without a ram.
func checkRam(t table, rig tracker.Rig) {
	if _, ok := t.values["gauge"].(map[string]any); ok && !rig.Gauge.ReadsForce && !t.has("ram_area") && !t.has("ram_bore") {
		t.here("ram_area", note{Error, "ram-missing", t.title() + " reads pressure but has no ram", "add " + t.r.units.Choose(`ram_area = "15.94 cm2" or ram_bore = "45 mm"`, `ram_area = "2.4 in2" or ram_bore = "1 3/4 in"`)})
	}
}

func readGauge(t table) tracker.Gauge {
	var g tracker.Gauge
	g.ReadsForce = readReads(t)
	g.Span = gaugeReading(t, "span", g.ReadsForce)
	g.Division = gaugeReading(t, "division", g.ReadsForce)
	g.SpanPressure, g.SpanForce = inSI(g.Span)
	g.DivisionPressure, g.DivisionForce = inSI(g.Division)
	spanned := g.SpanPressure > 0 || g.SpanForce > 0
	if spanned && (g.DivisionPressure > g.SpanPressure || g.DivisionForce > g.SpanForce) {
		t.at("division", note{Error, "gauge-division", "one division of the gauge is more than its span", "division is the step between two marks, span the last mark"})
	}
	g.Class, _ = t.shareOf("class")
	g.Friction, _ = t.shareOf("friction")
	g.AreaError, _ = t.shareOf("area_error")
	return g
}

func readReads(t table) (force bool) {
	reads := t.needText("reads")
	if reads != "" && reads != "pressure" && reads != "force" {
		t.at("reads", note{Error, "gauge-reads", fmt.Sprintf("the gauge reads %.40q", reads), `write "pressure" or "force"`})
	}
	return reads == "force"
}

// gaugeReading reads a value in what the gauge reads, and only in that.
func gaugeReading(t table, key string, force bool) quantity.Reading {
	reading, ok := parsed(t, key, "reading", quantity.ParseReading)
	switch {
	case !ok:
		return quantity.Reading{}
	case reading.IsForce() != force && (t.values["reads"] == "force" || t.values["reads"] == "pressure"):
		t.at(key, note{Error, "gauge-unit", fmt.Sprintf("the %s of a gauge that reads %s is in %s", key, t.values["reads"], reading.Unit), "write it in the unit on the dial, or change reads"})
		return quantity.Reading{}
	case reading.Value == 0:
		t.notPositive(key)
	}
	return reading
}

// inSI takes a reading as what it is; one that was not given is nothing.
func inSI(r quantity.Reading) (quantity.Pressure, quantity.Force) {
	if p, err := r.Pressure(); err == nil {
		return p, 0
	}
	f, err := r.Force(0)
	if err != nil {
		return 0, 0
	}
	return 0, f
}

// readRule reads [rule]. Wood failure of 80 % or more makes a reading a lower
// bound, and breaking is blind, unless the plan says otherwise.
func readRule(t table, s *tracker.Study) {
	s.Rule = tracker.Limits{WoodLimitedAt: 0.8, Blind: true}
	if limit, ok := t.shareOf("wood_limited_at"); ok {
		s.Rule.WoodLimitedAt = limit
		if limit <= 0 {
			t.notPositive("wood_limited_at")
		}
	}
	if blind, ok := get[bool](t, "blind"); ok {
		s.Rule.Blind = blind
	}
	s.Rule.CountProbable, _ = get[bool](t, "count_probable")
	readFitScale(t, s)
}

// readFitScale reads the scale of the fit with lower bounds.
func readFitScale(t table, s *tracker.Study) {
	scale, ok := t.someText("fit_scale")
	if ok && scale != "log" && scale != "plain" {
		t.at("fit_scale", note{Error, "fit-scale", fmt.Sprintf("rule.fit_scale %.40q is not a scale", scale),
			`write "log" (the default: spread grows with strength) or "plain"`})
	}
	s.Rule.PlainScale = scale == "plain"
}
