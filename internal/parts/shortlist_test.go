package parts_test

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/fit"
	"tryring/internal/parts"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

func parse(t testing.TB, text string) thread.Thread {
	t.Helper()
	th, err := thread.BuiltIn().Parse(text)
	require.NoError(t, err)
	return th
}

func read(t testing.TB, text string, opt parts.Options) *parts.List {
	t.Helper()
	l, err := parts.Read(text, opt)
	require.NoError(t, err)
	return l
}

// rank ranks a list and returns the parts by name, and the names in order.
func rank(t testing.TB, l *parts.List, innerMate, outerMate string) (byName map[string]parts.Ranked, order []string) {
	t.Helper()
	ranked, err := l.Shortlist(parts.Sure(parse(t, innerMate)), parts.Sure(parse(t, outerMate)))
	require.NoError(t, err)
	byName = map[string]parts.Ranked{}
	for _, r := range ranked {
		byName[r.Name] = r
		order = append(order, r.Name)
	}
	return byName, order
}

func adapters(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/adapters.csv")
	require.NoError(t, err)
	return string(text)
}

func TestShortlist(t *testing.T) {
	l := read(t, adapters(t), parts.Options{})
	require.Len(t, l.Skipped, 1)
	assert.Equal(t, 11, l.Skipped[0].Line)
	assert.Contains(t, l.Skipped[0].Why, `"wide"`)
	assert.Greater(t, l.Habit[parts.CutsOff], 0.9, "1.3 for 1 3/8 and 1.8 for 1 7/8 are cut off")

	byName, order := rank(t, l, "1 5/8-16 UN", "1 7/8-14 UNS")
	assert.Len(t, order, 8)
	assert.Equal(t, "part D", order[0])
	assert.Greater(t, byName["part D"].Chance, 0.99)
	assert.Empty(t, byName["part D"].Ask)
	a := byName["part A"]
	assert.True(t, a.Open(), "chance %v", a.Chance)
	assert.Equal(t, fit.Goes, a.Verdict)
	assert.Contains(t, a.Inner.Taken, "1 5/8-16 UN")
	assert.Contains(t, a.Inner.Taken, "1 11/16-16 UN")
	assert.Contains(t, a.Ask, "bore of the inner thread")
	assert.Contains(t, a.Ask, "or less it goes")
	assert.Equal(t, []string{"part F"}, a.Alike)
	assert.Equal(t, []string{"part A"}, byName["part F"].Alike)
	assert.Equal(t, fit.Binds, byName["part B"].Verdict, "16 threads to the inch do not go into 14")
	assert.Contains(t, byName["part B"].Outer.Why, "pitch differs")
	assert.Equal(t, fit.WillNotStart, byName["part E"].Verdict)
	assert.Contains(t, byName["part G"].Outer.Taken, "by the rest of the list")
	assert.Equal(t, []string{"part D", "part A", "part F", "part G"}, order[:4], "a part that prints no outer size comes after those that do")
	assert.Equal(t, "ask for the size of the outer thread", byName["part G"].Ask)
	for _, r := range byName {
		assert.InDelta(t, 0.5, r.Chance, 0.5)
	}
}

// However many parts print the same, each names the first ten others.
func TestManyAlike(t *testing.T) {
	const rows = 50_000
	var text strings.Builder
	text.WriteString("part,inner thread,inner tpi,outer thread,outer tpi\n")
	for k := range rows {
		fmt.Fprintf(&text, "%d,1.6,16,1.8,14\n", k)
	}
	byName, _ := rank(t, read(t, text.String(), parts.Options{}), "1 5/8-16 UN", "1 7/8-14 UNS")
	first := []string{"0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10"}
	for k, name := range first {
		assert.Equal(t, slices.Concat(first[:k], first[k+1:]), byName[name].Alike)
	}
	last := byName[strconv.Itoa(rows-1)]
	assert.Equal(t, first[:10], last.Alike)
	// Parts that print the same share what is said of them, and a row is lean for scripts.
	assert.Same(t, byName["0"].Inner, last.Inner)
	row, err := json.Marshal(last)
	require.NoError(t, err)
	assert.Less(t, len(row), 1200)
	assert.Contains(t, string(row), `"inner":{"thread":"1 5/8-16 UN"`)
}

// A thread that a list does not give may well be the right one, even where no other part has it.
func TestMissingThreadStaysOpen(t *testing.T) {
	l := read(t, "part,inner thread,outer thread\nA,M20x1.5,\nB,M27x2,\nC,M20x1.5,1 1/2-16 UN\n", parts.Options{})
	byName, order := rank(t, l, "M20x1.5", "M30x1.5")
	assert.Equal(t, "A", order[0])
	assert.True(t, byName["A"].Open(), "%v", byName["A"].Chance)
	assert.Equal(t, "ask for the size and threads per inch of the outer thread", byName["A"].Ask)
	assert.Less(t, byName["B"].Chance, parts.OpenFrom, "its inner thread settles it")
	assert.Less(t, byName["C"].Chance, parts.OpenFrom)

	byName, _ = rank(t, read(t, "part,inner thread,outer thread\nA,M20x1.5,M30x1.5\nB,M20x1.5,\n", parts.Options{}), "M20x1.5", "M30x1.5")
	assert.Empty(t, byName["B"].Alike, "what is not printed is not the same as what is")
}

// Whatever the rest of the list makes likely, a size that is not printed comes after those that are, and is asked for.
func TestMissingSizesRankBelowPrintedOnes(t *testing.T) {
	samples := 0
	rapid.Check(t, func(rt *rapid.T) {
		text := "part,inner thread,inner tpi,outer thread,outer tpi\n"
		for k := range rapid.IntRange(2, 8).Draw(rt, "rows") {
			inner := rapid.SampledFrom([]string{"1.6", "1 5/8", "1.3", ""}).Draw(rt, "inner")
			outer := rapid.SampledFrom([]string{"1.8", "1 7/8", "1.6", ""}).Draw(rt, "outer")
			text += fmt.Sprintf("%d %s/%s,%s,16,%s,14\n", k, inner, outer, inner, outer)
		}
		l, err := parts.Read(text, parts.Options{})
		if err != nil {
			return // no row sizes any thread
		}
		byName, order := rank(t, l, "1 5/8-16 UN", "1 7/8-14 UNS")
		left := ""
		for _, name := range order {
			r, missing := byName[name], strings.HasSuffix(name, "/") || strings.Contains(name, " /")
			switch {
			case r.Chance <= parts.OpenFrom:
			case missing:
				left = name
				samples++
				if r.Open() && !strings.HasPrefix(r.Ask, "ask for the size of the ") {
					rt.Fatalf("%s asks %q", name, r.Ask)
				}
			case left != "":
				rt.Fatalf("%s stands after %s in\n%s", name, left, text)
			}
		}
	})
	require.Positive(t, samples)
}

// "1.6" may be 1.600, 1.625 or 1.6875; what the rest of the list shows of its habit moves the weights.
func TestHabit(t *testing.T) {
	list := func(rows string) string {
		return "part,inner thread,outer thread,tpi\nthe part,1 1/4,1.6,16\n" + rows
	}
	weight := func(l *parts.List) float64 {
		byName, _ := rank(t, l, "1 1/4-16 UN", "1 5/8-16 UN")
		return byName["the part"].Outer.Chance
	}
	cut := read(t, list("b,1 1/4,1.8,14\nc,1 1/4,1.3,16\n"), parts.Options{})   // 1 7/8-14, 1 3/8-16
	round := read(t, list("b,1 1/4,1.9,14\nc,1 1/4,1.4,16\n"), parts.Options{}) // the same, rounded
	assert.Greater(t, cut.Habit[parts.CutsOff], 0.9)
	assert.Greater(t, round.Habit[parts.Rounds], 0.7)
	assert.Greater(t, weight(round), weight(cut), "a list that rounds would print 1 11/16 as 1.7")
	for _, l := range []*parts.List{cut, round} {
		assert.InDelta(t, 1, l.Habit[parts.Rounds]+l.Habit[parts.CutsOff]+l.Habit[parts.Exact], 1e-12)
	}
	// 11 1/2 threads are printed as 11 where a list cuts off, as 12 where it rounds.
	for _, c := range []struct{ count, rest string }{{"11", "b,1 1/4,1.8,14\nc,1 1/4,1.3,16\n"}, {"12", "b,1 1/4,1.9,14\nc,1 1/4,1.4,16\n"}} {
		l := read(t, "part,inner thread,outer thread,tpi\nthe part,1 1/2,1 7/8,"+c.count+"\n"+c.rest, parts.Options{})
		byName, _ := rank(t, l, "1 1/2-11.5 NPSM", "1 1/2-11.5 NPSM")
		assert.Contains(t, byName["the part"].Inner.Taken, "1 1/2-11.5 NPSM", "%s threads", c.count)
	}
}

// 28 mm is 1.10 in, but a list in inches hardly means M28x1, which aerators have.
func TestMetricThreadsInInchLists(t *testing.T) {
	lead := func(text string) string {
		byName, _ := rank(t, read(t, text, parts.Options{}), "G 1", "M28x1")
		return byName["x"].Outer.Thread
	}
	byName, _ := rank(t, read(t, "part,inner thread,outer size (mm)\nx,G 1,28\n", parts.Options{}), "G 1", "M28x1")
	assert.Contains(t, byName["x"].Outer.Taken, "M28x1 ")
	assert.Equal(t, "M28x1", lead("part,inner thread,outer size (mm),outer pitch (mm)\nx,G 1,28,1\n"))
	byName, _ = rank(t, read(t, "part,inner thread,outer size (in)\nx,G 1,1.1\n", parts.Options{}), "G 1", "M28x1")
	assert.Less(t, byName["x"].Outer.Chance, 0.2, byName["x"].Outer.Taken)
}

// The bound in the question is where the verdict changes: just inside it goes, just outside not.
func TestQuestionSettles(t *testing.T) {
	l := read(t, adapters(t), parts.Options{})
	byName, _ := rank(t, l, "1 5/8-16 UN", "1 7/8-14 UNS")
	ask := byName["part A"].Ask
	var inches float64
	_, err := fmt.Sscanf(ask[strings.Index(ask, ": at ")+5:], "%f in", &inches)
	require.NoError(t, err, ask)
	u, ok, err := fit.UsableRange(parse(t, "1 5/8-16 UN"), parse(t, "1 5/8-16 UN"))
	require.NoError(t, err)
	require.True(t, ok)
	assert.LessOrEqual(t, inches, u.Internal[1].Inches())
	assert.InDelta(t, u.Internal[1].Inches(), inches, 0.01)
}

func TestWaysOfWriting(t *testing.T) {
	for _, c := range []struct {
		name, text string
		opt        parts.Options
	}{
		{"threads in full", "part,inner thread,outer thread\nx,1 5/8-16 UN,1 7/8-14 UNS\n", parts.Options{}},
		{"fractions and counts", "part,inner thread,inner tpi,outer thread,outer tpi\nx,1 5/8,16,1-7/8,14\n", parts.Options{}},
		{"counts first", "outer tpi,inner tpi,outer size,inner size,number\n14,16,1 7/8,1 5/8,x\n", parts.Options{}},
		{"decimals", "item,female,female tpi,male,male tpi\nx,1.625,16,1.875,14\n", parts.Options{}},
		{"inch marks", "part,inner thread,inner tpi,outer thread,outer tpi\nx,1 5/8\",16,\"1 7/8\"\"\",14\n", parts.Options{}},
		{"comma decimals", "part;inner size (mm);inner tpi;outside diameter (mm);outer tpi\nx;41,275;16;47,625;14\n", parts.Options{}},
		{"tabs and mm", "part\tinner size mm\tinner tpi\touter size mm\touter tpi\nx\t41.28\t16\t47.63\t14\n", parts.Options{}},
		{"bare mm", "part,inner size,inner tpi,outer size,outer tpi\nx,41.28,16,47.63,14\n", parts.Options{}},
		{"mark of byte order, Windows lines", "\ufeffpart,inner thread,outer thread\r\nx,1 5/8-16,1 7/8-14\r\n", parts.Options{}},
		{"no header", "x,1 5/8,16,1 7/8,14,2.50\n", parts.Options{Columns: []string{"part", "inner size", "inner tpi", "outer size", "outer tpi", "-"}}},
		{"header beside --columns", "a,b,inside,outside\nx,1 5/8-16,1 7/8-14,9\n", parts.Options{Columns: []string{"part", "inner thread", "outer thread", "-"}}},
		{"unit by flag", "part,inner size,inner tpi,outer size,outer tpi\nx,1.625,16,1.875,14\n", parts.Options{Unit: unit.Inch}},
		{"pitch", "part,inner size (mm),inner pitch (mm),outer size (mm),outer pitch (mm)\nx,41.275,1.5875,47.625,1.814\n", parts.Options{}},
		{"a note over two lines", "part,inner thread,outer thread,note\nx,1 5/8-16,1 7/8-14,\"two\nlines\"\n", parts.Options{}},
		{"two columns of counts", "Part No.,Inside thread (in),TPI,Outside thread (in),TPI\nx,1.625,16,1.875,14\n", parts.Options{}},
		{"counts as words", "code,inner size,inner threads/in,outer size,outer count\nx,1 5/8,16,1 7/8,14\n", parts.Options{}},
		{"threads under diameters", "part,bore,od\nx,1 5/8-16 UN,1 7/8 x 14 tpi\n", parts.Options{}},
		{"measured over the crests", "part,bore,inner tpi,outside diameter,outer tpi\nx,1.565,16,1.871,14\n", parts.Options{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := read(t, c.text, c.opt)
			require.Empty(t, l.Skipped)
			byName, _ := rank(t, l, "1 5/8-16 UN", "1 7/8-14 UNS")
			require.Contains(t, byName, "x")
			r := byName["x"]
			assert.Equal(t, "1 5/8-16 UN", r.Inner.Thread, r.Inner.Taken)
			assert.Equal(t, "1 7/8-14 UNS", r.Outer.Thread, r.Outer.Taken)
			assert.Equal(t, fit.Goes, r.Verdict)
		})
	}
}

func TestBadRowsAreReported(t *testing.T) {
	for _, c := range []struct {
		name, row, why string
	}{
		{"words", "x,wide,16,1 7/8,14", `"wide"`},
		{"count", "x,1 5/8,many,1 7/8,14", "threads per inch"},
		{"count of nothing", "x,1 5/8,0,1 7/8,14", "above 0"},
		{"below zero", "x,-1.6,16,1 7/8,14", `"-1.6"`},
		{"too many cells", "x,1,625,16,1,875,14", "a comma inside a number needs quotes"},
		{"nothing", "x,,,,", "no thread is given"},
		{"open quote", `x,"1 5/8,16,1 7/8,14`, "not closed"},
		{"size of no thread", "x,5.555,,1 7/8,14", "give its threads per inch"},
		{"contradiction", "x,G 1 1/2,14,1 7/8,14", "the row says 14"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := read(t, "part,inner thread,inner tpi,outer thread,outer tpi\n"+c.row+"\ngood,1 5/8,16,1 7/8,14\n", parts.Options{})
			require.Len(t, l.Parts, 1, "the row beside it stays")
			assert.Equal(t, "good", l.Parts[0].Name)
			require.Len(t, l.Skipped, 1)
			assert.Equal(t, 2, l.Skipped[0].Line)
			assert.Contains(t, l.Skipped[0].Why, c.why)

			_, err := parts.Read("part,inner thread,inner tpi,outer thread,outer tpi\n"+c.row+"\n", parts.Options{})
			require.ErrorIs(t, err, parts.ErrNoPart)
			assert.ErrorContains(t, err, "line 2")
		})
	}
}

func TestBadLists(t *testing.T) {
	for _, c := range []struct{ name, text, says string }{
		{"empty", "", "no rows"},
		{"header alone", "part,inner thread,outer thread\n", "no rows"},
		{"no thread column", "name,price\nx,3\n", "holds a thread"},
		{"no header", "x,1 5/8-16,1 7/8-14\n", "holds a thread"},
		{"one thing twice", "part,inner thread,female thread\nx,G 1,G 1\n", "rename one"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := parts.Read(c.text, parts.Options{})
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.says)
		})
	}
}

// Inches and millimetres of a list are two ways of writing one size.
func TestUnitsChangeNothing(t *testing.T) {
	samples := 0
	rapid.Check(t, func(t *rapid.T) {
		samples++
		n := rapid.IntRange(8, 40).Draw(t, "sixteenths")
		count := rapid.SampledFrom([]string{"11.5", "12", "14", "16"}).Draw(t, "tpi")
		one := func(header, size string) parts.Ranked {
			l, err := parts.Read("part,inner size ("+header+"),inner tpi,outer thread\nx,"+size+","+count+",1 7/8-14 UNS\n", parts.Options{})
			if err != nil {
				t.Fatal(err)
			}
			mate, err := thread.BuiltIn().Parse("1 5/8-16 UN")
			if err != nil {
				t.Fatal(err)
			}
			ranked, err := l.Shortlist(parts.Sure(mate), parts.Sure(mate))
			if err != nil {
				t.Fatal(err)
			}
			return ranked[0]
		}
		size, _ := unit.Inches(float64(n) / 16).Fraction()
		inch := one("in", strings.TrimSuffix(size, " in"))
		mm := one("mm", unit.Short(float64(n)/16*25.4)+"0000")
		if inch.Inner.Verdict != mm.Inner.Verdict || inch.Inner.Thread != mm.Inner.Thread {
			t.Fatalf("%s in: %s %s; in mm: %s %s", size, inch.Inner.Verdict, inch.Inner.Taken, mm.Inner.Verdict, mm.Inner.Taken)
		}
	})
	require.Positive(t, samples)
}

// The order of rows and columns changes no chance.
func TestRowOrderChangesNothing(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(adapters(t)), "\n")[1:]
	want, _ := rank(t, read(t, strings.Join(lines, "\n"), parts.Options{}), "1 5/8-16 UN", "1 7/8-14 UNS")
	samples := 0
	rapid.Check(t, func(rt *rapid.T) {
		samples++
		rows := append([]string{lines[0]}, rapid.Permutation(lines[1:]).Draw(rt, "rows")...)
		got, _ := rank(t, read(t, strings.Join(rows, "\n"), parts.Options{}), "1 5/8-16 UN", "1 7/8-14 UNS")
		for name, w := range want {
			if g := got[name]; g.Chance-w.Chance > 1e-9 || w.Chance-g.Chance > 1e-9 || g.Ask != w.Ask {
				rt.Fatalf("%s: %v %q, want %v %q", name, g.Chance, g.Ask, w.Chance, w.Ask)
			}
		}
	})
	require.Positive(t, samples)
}

// bigList has n parts of many sizes, printed as a page would: decimals cut off, fractions, some cells missing.
func bigList(n int) string {
	var b strings.Builder
	b.WriteString("part,inner thread,inner tpi,outer thread,outer tpi,price\n")
	counts := []string{"11", "11.5", "12", "14", "16", "18", "20", "27"}
	for k := range n {
		in, out := float64(8+k*7%40)/16, float64(12+k*11%40)/16
		inText, outText := fmt.Sprintf("%.1f", in-0.05), fmt.Sprintf("%.2f", out)
		switch k % 5 {
		case 1:
			inText, _ = unit.Inches(in).Fraction()
		case 2:
			outText = fmt.Sprintf("%.3f", out)
		}
		outCount := counts[(k/3)%len(counts)]
		if k%17 == 0 {
			outCount = ""
		}
		fmt.Fprintf(&b, "part %d,%s,%s,%s,%s,%d.50\n", k, inText, counts[k%len(counts)], outText, outCount, k%30)
	}
	return b.String()
}

func BenchmarkShortlist10000(b *testing.B) {
	text := bigList(10_000)
	inner, outer := parse(b, "1 5/8-16 UN"), parse(b, "1 7/8-14 UNS")
	b.ReportAllocs()
	for b.Loop() {
		l, err := parts.Read(text, parts.Options{})
		if err != nil {
			b.Fatal(err)
		}
		if len(l.Parts) < 9_000 {
			b.Fatalf("%d parts, skipped %v", len(l.Parts), l.Skipped[:1])
		}
		if _, err := l.Shortlist(parts.Sure(inner), parts.Sure(outer)); err != nil {
			b.Fatal(err)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(adapters(f))
	for _, s := range []string{
		"", "\ufeff", "part,inner thread\n\"", "inner\n1e308", "inner;outer\n1,6;1,8\n", "bore,od,pitch\n1/0,2,3\n",
		"part,inner thread,inner tpi\nx,1.6,200\n", "outer diameter (in)\n5.99999999999\n", "inner,outer\n1 5/8\",\"1 7/8\n", "inner size,tpi\n0.0000001,1\n",
	} {
		f.Add(s)
	}
	mate, err := thread.BuiltIn().Parse("1 5/8-16 UN")
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 4096 {
			t.Skip("long lists are slow and no different")
		}
		l, err := parts.Read(text, parts.Options{})
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error says nothing")
			}
			return
		}
		ranked, err := l.Shortlist(parts.Sure(mate), parts.Sure(mate))
		if err != nil {
			return // a thread in full whose sections cannot be is told by the part's line
		}
		if len(ranked) != len(l.Parts) {
			t.Fatalf("%d of %d parts ranked", len(ranked), len(l.Parts))
		}
		for _, r := range ranked {
			if !(r.Chance >= 0 && r.Chance <= 1+1e-9) {
				t.Fatalf("%s: chance %v", r.Name, r.Chance)
			}
			if r.Open() && r.Ask == "" {
				t.Fatalf("%s is open and nothing is asked", r.Name)
			}
		}
	})
}
