package quantity_test

import (
	"fmt"

	"soaktag/tracker/quantity"
)

// A bond written in inches is spoken of in pounds and psi.
func ExampleSystem() {
	system, err := quantity.SystemOf("1 3/4 in")
	if err != nil {
		fmt.Println(err)
		return
	}
	reading, err := quantity.ParseForce("9000 lbf")
	if err != nil {
		fmt.Println(err)
		return
	}
	bond := quantity.Rectangle(1.5*0.0254, 2*0.0254)
	fmt.Println(system.Force(reading), "on", system.Area(bond), "is", system.Stress(quantity.Stress(reading, bond)))
	fmt.Println(quantity.Metric.Force(reading), "on", quantity.Metric.Area(bond), "is", quantity.Metric.Stress(quantity.Stress(reading, bond)))
	// Output:
	// 9000 lbf on 3.00 in² is 3000 psi
	// 40.03 kN on 19.35 cm² is 20.68 MPa
}

// What a gauge shows, on a ram, over the area of a bond.
func ExampleStress() {
	pressure, err := quantity.ParsePressure("1310 psi")
	if err != nil {
		fmt.Println(err)
		return
	}
	ram, err := quantity.ParseArea("15.94 cm2")
	if err != nil {
		fmt.Println(err)
		return
	}
	force := quantity.Force(float64(pressure) * float64(ram))
	fmt.Printf("%.1f kN, %.1f MPa\n", force.KN(), quantity.Stress(force, 0.040*0.045).MPa())
	// Output: 14.4 kN, 8.0 MPa
}

// A bare ton means three things, and is refused by naming them.
func ExampleParseForce() {
	_, err := quantity.ParseForce("3 ton")
	fmt.Println(err)
	// Output: force "3 ton" has the unit "ton", which is not a clear unit of force; write "US ton" (2000 lbf), "long ton" (2240 lbf) or "t" (1000 kgf)
}
