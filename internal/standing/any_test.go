package standing_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/standing"
)

// Whatever a job holds, it stands somewhere: there is an answer and one next step that can be taken, and nothing is ordered that
// is likelier not to join.
func TestAnyJobStandsSomewhere(t *testing.T) {
	readings := map[string][]string{
		"bore": {"45.75mm", "18.7mm", "1 7/8in", "20mm"}, "outside": {"1.62in", "47.6mm", "20.9mm"}, "leaf": {"14tpi", "1.5mm"}, "no_leaf": {"16tpi"},
		"count": {"17 over 1in", "15 over 1in"}, "tpi": {"14", "15±1.5"}, "throat": {"1.5in"}, "tapers": {"yes", "no"}, "angle": {"55", "60"}, "worn": {"yes"},
	}
	keys := []string{"bore", "outside", "leaf", "no_leaf", "count", "tpi", "throat", "tapers", "angle", "worn"}
	threads := []string{"1 7/8-14 UNS", "1 5/8-16 UN", "G 1/2", "R 1/2", "1/2-14 NPT", "M20x1.5", "44.4mm x 12tpi"}
	lists := []string{list(t), "part,inner thread,outer thread\nx,G 1/2,M20x1.5\ny,M20x1.5,\n", "price\n1\n", ""}
	samples := map[standing.Action]int{}
	rapid.Check(t, func(rt *rapid.T) {
		pick := func(what string, from []string) string { return rapid.SampledFrom(from).Draw(rt, what) }
		maybe := func(what string) bool { return rapid.Bool().Draw(rt, what) }
		d := job.New()
		d.Name = "tub"
		around := files{}
		for _, side := range []string{job.Stays, job.Goes} {
			for range rapid.IntRange(0, 4).Draw(rt, side) {
				key := pick("key", keys)
				text := "[[" + side + "]]\n" + key + " = \"" + pick("text", readings[key]) + "\"\n"
				one, err := job.Parse("x", []byte(text))
				if err != nil {
					rt.Fatal(err)
				}
				if err := d.AddReadings(side, true, *one.Readings(side)...); err != nil {
					rt.Fatal(err)
				}
			}
			if maybe("decided " + side) {
				one := job.Decision{Side: side, Designation: pick("thread", threads), Weight: rapid.SampledFrom([]float64{0, 0.3, 0.98}).Draw(rt, "weight")}
				if err := d.Decide(one); err != nil {
					rt.Fatal(err)
				}
			}
		}
		if maybe("list") {
			d.Parts = append(d.Parts, job.PartsList{File: "list.csv"})
			if text := pick("text of the list", lists); text != "" {
				around["list.csv"] = text
			}
		}
		if maybe("ring") {
			around["out/tub.json"] = ringMade
		}
		tries := rapid.SampledFrom([]int{0, 0, 0, 1, 2}).Draw(rt, "tries")
		if os.Getenv("TRYRING_BRIEF") != "" {
			tries = 0 // each is weighed on every thread that is left, which takes its time
		}
		for i := range tries {
			one, err := job.Parse("x", []byte(strings.Replace(pick("try", []string{outerTry, innerTry}), "id = ", "id = 1", 1)))
			if err != nil {
				rt.Fatal(err)
			}
			try := one.Tries[0]
			try.ID, try.Result = 100+i, pick("result", []string{"goes", "snug", "does not start", "stops after 3 turns", "rattles"})
			d.Tries = append(d.Tries, try)
		}
		s, err := standing.Of(d, standing.Around{Tables: tables, Printer: printer.Unnamed(), Read: around.read})
		if err != nil {
			rt.Fatal(err)
		}
		samples[s.Next.Action]++
		switch {
		case s.Next.Text == "", len(s.Answer()) == 0:
			rt.Fatalf("no step: %+v", s.Next)
		case s.Order != nil && (!(s.Order.Chance >= 0.5 && s.Order.Chance <= 1+1e-9) || len(s.Order.Names) != 2 || s.Order.Ask == ""):
			rt.Fatalf("order %+v", s.Order)
		case s.Next.Action == standing.OrderPart && s.Order == nil:
			rt.Fatal("a part is to be ordered, and none is named")
		}
		for _, c := range s.Contradictions {
			if c.Text == "" {
				rt.Fatal("a contradiction without words")
			}
		}
	})
	require.Greater(t, len(samples), 2, "%v", samples)
}
