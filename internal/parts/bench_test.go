package parts_test

import (
	"testing"

	"tryring/internal/parts"
)

func BenchmarkReadSmall(b *testing.B) {
	text := adapters(b)
	for b.Loop() {
		if _, err := parts.Read(text, parts.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
