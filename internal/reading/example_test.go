package reading_test

import (
	"fmt"

	"tryring/internal/reading"
	"tryring/internal/thread"
)

// A caliper and a ruler at a bath drain: the outside twice, 15 crests over an inch, and the throat.
func Example() {
	set, err := reading.Read(
		reading.Record{What: "outside", Text: "1.870in", Instrument: "caliper"},
		reading.Record{What: "outside", Text: "47.55mm", Instrument: "caliper"},
		reading.Record{What: "throat", Text: "38.2mm", Instrument: "caliper"},
		reading.Record{What: "count", Text: "15 over 1in", Instrument: "ruler"},
	)
	if err != nil {
		fmt.Println(err)
		return
	}
	answer := reading.Identify(thread.NewTables(), set, reading.Drain)
	fmt.Println(answer.Candidates[0].Designation)
	fmt.Println(set.Counts[0].Taken())
	names := answer.Names()
	fmt.Printf("%s by the bore, %s by the outside\n", names.ByBore, names.ByOutside)
	// Output:
	// 1 7/8-14 UNS
	// 15 crests over 1in: taken as 14 pitches, a pitch of 1.814 mm (14 to the inch); had it been 15 spaces, 1.693 mm (15 to the inch)
	// 1 1/2 in by the bore, 1 7/8 in by the outside
}
