package world

// This file holds shops: which parts they have, by which names and with which habits they print them, and how they write a list.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
)

// adapter is one part of a shop: an internal thread inside and an external one outside.
type adapter struct {
	inner, outer part
	name         string
}

// habit is how a shop brings a size to so many decimals.
type habit int

const (
	rounds habit = iota
	cuts
)

// shop prints lists. Shares are of rows; what is common in the trade is common practice with no published source, how common it
// is unknown.
type shop struct {
	maker maker
	wrist wrist
	habit habit
	// digits are those of a size before zeros are padded to make three.
	digits int
	pads   bool
	// byBore is the share of sizes inside and outside that go by the bore, without a word; both habits in one list is common, and
	// so is one column by the bore and the other by the outside.
	byBore [2]float64
	// wall is how much smaller a bore is than the outside of the thread around it, inches: a quarter to three eighths in the
	// threads of drains (common practice, no published source), rounded to eighths.
	wall float64
	// fractions is set where sizes are printed as fractions. metric is the share of sizes that are printed in millimetres among
	// inches: unknown, lists that were put together from several have some.
	fractions bool
	metric    float64
	// between is what stands between the cells of a row.
	between string
	// missing is the share of sizes left out, uncounted that of rows without threads to the inch.
	missing, uncounted float64
	// inside and outside are the threads that it deals in.
	inside, outside []*row
	// header is how the columns are named, title a line above it.
	header, title string
}

// headers are ways in which people name the columns: part, inner size, inner count, outer size, outer count.
var headers = []string{
	"part,inner thread,inner tpi,outer thread,outer tpi",
	"Part No.,inside,tpi,outside,tpi",
	"item,female,female tpi,male,male tpi",
	"name,inner size,inner threads per inch,outer size,outer threads per inch",
	"part,inner (in),inner tpi,outer (in),outer tpi",
	"article,internal size in,internal tpi,external size in,external tpi",
	"Adapter,Strainer side,Strainer tpi,Drain side,Drain tpi",
}

func plainShop(rng *rand.Rand) shop {
	some := func(of []*row) (out []*row) {
		for range 3 + rng.IntN(3) {
			out = append(out, of[rng.IntN(len(of))])
		}
		return out
	}
	return shop{
		inside: some(adapted(false)), outside: some(adapted(true)),
		maker: someMaker(rng), wrist: wrist{press: between(rng, 0, 0.03), turns: between(rng, 4, 9), hold: between(rng, 0.3, 0.5)},
		habit: habit(rng.IntN(2)), digits: 1 + rng.IntN(3), fractions: chance(rng, 0.25),
		between: ",", missing: between(rng, 0, 0.1), wall: between(rng, 0.2, 0.42), uncounted: between(rng, 0, 0.3), header: headers[rng.IntN(5)],
	}
}

// adapted are the threads that adapters have: those of drains and taps, and their neighbours in pipes.
func adapted(external bool) (out []*row) {
	for _, r := range rows() {
		if (r.use == "drain" || r.use == "tap") && r.taper == 0 && r.major > 15 && (external && r.external || !external && r.internal) {
			out = append(out, r)
		}
	}
	return out
}

// stock makes the parts of a shop.
func (s shop) stock(rng *rand.Rand) []adapter {
	out := make([]adapter, 8+rng.IntN(13))
	for k := range out {
		out[k] = adapter{
			inner: s.maker.cut(rng, s.inside[rng.IntN(len(s.inside))], false),
			outer: s.maker.cut(rng, s.outside[rng.IntN(len(s.outside))], true),
			name:  fmt.Sprintf("P%d", k+1),
		}
	}
	return out
}

// list prints the parts.
func (s shop) list(rng *rand.Rand, stock []adapter) string {
	var b strings.Builder
	if s.title != "" {
		b.WriteString(s.title + "\n")
	}
	b.WriteString(strings.ReplaceAll(s.header, ",", s.between) + "\n")
	for _, a := range stock {
		cells := []string{a.name}
		for side, p := range []part{a.inner, a.outer} {
			cells = append(cells, s.size(rng, p, s.byBore[side]), s.count(rng, p))
		}
		for k := range cells {
			if cells[k] == "" && s.between == columns { // else the row would be shorter than the head
				cells[k] = "-"
			}
		}
		b.WriteString(strings.Join(cells, s.between) + "\n")
	}
	return b.String()
}

// columns are the blanks between cells where a page is copied as text.
const columns = "   "

// size is a size as the shop prints it: pipe threads by their trade size, others by the outside of the thread, or both by the
// bore that one looks through.
func (s shop) size(rng *rand.Rand, p part, byBore float64) string {
	if chance(rng, s.missing) {
		return ""
	}
	name, _, _ := strings.Cut(p.name, "-")
	if strings.HasPrefix(p.name, "M") {
		return p.name
	}
	if trade, pipe := strings.CutPrefix(p.name, "G "); pipe {
		if chance(rng, 0.5) { // unknown: some shops write the letter
			return p.name
		}
		return s.inches(fraction(trade), trade)
	}
	inches := fraction(name)
	if !strings.HasSuffix(p.name, "NPSM") && chance(rng, byBore) {
		inches = math.Round((inches-s.wall)*8) / 8
		name = eighths(inches)
	}
	if chance(rng, s.metric) {
		return strconv.FormatFloat(inches*25.4, 'f', 1, 64) // one decimal is usual; the head may say inches all the same
	}
	return s.inches(inches, name)
}

func (s shop) inches(x float64, text string) string {
	if s.fractions && text != "" {
		return text
	}
	scale := math.Pow10(s.digits)
	switch s.habit {
	case rounds:
		x = math.Floor(x*scale+0.5) / scale
	case cuts:
		x = math.Floor(x*scale+1e-9) / scale
	}
	printed := strconv.FormatFloat(x, 'f', s.digits, 64)
	if s.pads {
		printed += strings.Repeat("0", max(0, 3-s.digits))
	}
	return printed
}

func (s shop) count(rng *rand.Rand, p part) string {
	if chance(rng, s.uncounted) || strings.HasPrefix(p.name, "M") {
		return ""
	}
	n := 25.4 / p.row.pitch
	if math.Abs(n-math.Round(n)) > 0.1 {
		return "11.5"
	}
	return strconv.Itoa(int(math.Round(n)))
}

// fraction reads "1 7/8".
func fraction(text string) float64 {
	sum := 0.0
	for word := range strings.FieldsSeq(text) {
		top, bottom, broken := strings.Cut(word, "/")
		x, err := strconv.ParseFloat(top, 64)
		if err != nil {
			panic(fmt.Sprintf("%q is no fraction", text))
		}
		if broken {
			y, _ := strconv.ParseFloat(bottom, 64)
			x /= y
		}
		sum += x
	}
	return sum
}

func eighths(x float64) string {
	whole, n, parts := int(x), int(math.Round((x-math.Floor(x))*8)), 8
	for n > 0 && n%2 == 0 {
		n, parts = n/2, parts/2
	}
	switch {
	case n == 0:
		return strconv.Itoa(whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d", n, parts)
	}
	return fmt.Sprintf("%d %d/%d", whole, n, parts)
}
