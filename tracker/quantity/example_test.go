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
