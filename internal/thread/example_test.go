package thread_test

import (
	"fmt"

	"tryring/internal/thread"
)

func ExampleParse() {
	for _, text := range []string{"1.75-12", "g1½ a", "M20", "Ø44,4 x 12 tpi LH"} {
		t, err := thread.BuiltIn().Parse(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%s: major %s, pitch %.4f mm, %s hand\n", t.Designation, t.Basic.Major, t.Pitch.MM(), t.Hand)
	}
	_, err := thread.BuiltIn().Parse("5/8-11 UNF")
	fmt.Println(err)
	// Output:
	// 1 3/4-12 UN: major 44.450 mm (1.7500 in), pitch 2.1167 mm, right hand
	// G 1 1/2 A: major 47.803 mm (1.8820 in), pitch 2.3091 mm, right hand
	// M20x2.5: major 20.000 mm (0.7874 in), pitch 2.5000 mm, right hand
	// 44.4mm x 12tpi LH: major 44.400 mm (1.7480 in), pitch 2.1167 mm, left hand
	// "5/8-11 UNF": 5/8-11 is in series UNC, not UNF; did you mean "5/8-11 UNC"?
}

func ExampleThread_Limits() {
	t, err := thread.BuiltIn().Parse("15/16-16 UN")
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := t.Limits("2A", true)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("major", l.MajorMax.TextInch(), "to", l.MajorMin.TextInch())
	fmt.Println("pitch", l.PitchMax.TextInch(), "to", l.PitchMin.TextInch())
	// Output:
	// major 0.9360 in to 0.9266 in
	// pitch 0.8954 in to 0.8904 in
}
