package build

import (
	"testing"

	"tryring/internal/whole"
)

// BenchmarkMake is a whole ring, proved, in memory.
func BenchmarkMake(b *testing.B) {
	a, p := planned(b, "inner='1 5/8-16 UN'\nouter='1 7/8-14 UNS'\nprinter='filament-0.4'\n")
	for b.Loop() {
		if _, err := Make(b.Context(), new(whole.Memory), a, p); err != nil {
			b.Fatal(err)
		}
	}
}
