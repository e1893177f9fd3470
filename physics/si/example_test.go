package si_test

import (
	"fmt"

	"coilwright/physics/si"
)

func ExampleParseIn() {
	for _, text := range []string{"5/8 in", "16", "0,4 mm"} {
		length, err := si.ParseIn(text, si.Millimetre)
		fmt.Println(length, err)
	}
	_, err := si.ParseIn("1.8 mHz", si.Hertz)
	fmt.Println(err)
	// Output:
	// 0.015875 <nil>
	// 0.016 <nil>
	// 0.0004 <nil>
	// “mHz” has the m of milli: for mega write “MHz”
}

func ExampleFormatPrefixed() {
	// A narrow no-break space stands before the unit.
	fmt.Printf("%q\n", si.FormatPrefixed(4.7128e6, si.Hertz, 4))
	// Output:
	// "4.713\u202fMHz"
}
