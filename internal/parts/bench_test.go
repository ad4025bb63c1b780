package parts_test

import (
	"fmt"
	"strings"
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

// Ten thousand parts of which hardly two print the same: nothing can be remembered from one to the next.
func BenchmarkShortlist10000Unlike(b *testing.B) {
	var text strings.Builder
	text.WriteString("part,inner size,inner tpi,outer size,outer tpi\n")
	counts := []string{"11", "11.5", "14", "16", "18"}
	for k := range 10_000 {
		fmt.Fprintf(&text, "part %d,%.3f,%s,%.3f,%s\n", k, 0.5+float64(k*7919%2500)/1000, counts[k%5], 0.5+float64(k*6287%2500)/1000, counts[k/5%5])
	}
	inner, outer := parse(b, "1 5/8-16 UN"), parse(b, "1 7/8-14 UNS")
	for b.Loop() {
		l, err := parts.Read(text.String(), parts.Options{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := l.Shortlist(parts.Sure(inner), parts.Sure(outer)); err != nil {
			b.Fatal(err)
		}
	}
}
