package wire_test

import (
	"fmt"

	"coilwright/physics/wire"
)

func ExampleOverallDiameter() {
	gauge, err := wire.Parse("AWG 32")
	if err != nil {
		fmt.Println(err)
		return
	}
	overall, err := wire.OverallDiameter(gauge, wire.Single)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f mm bare, %.4f mm over the enamel (%s)\n", gauge.Diameter*1e3, overall.Diameter*1e3, overall.Status)
	// Output:
	// 0.2019 mm bare, 0.2223 mm over the enamel (seen)
}
