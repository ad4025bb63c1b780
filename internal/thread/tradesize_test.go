package thread

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

func TestFindBySize(t *testing.T) {
	for _, c := range []struct {
		name string
		f    Family
		n    Name
		want string
	}{
		{"G", ISO228{}, Name{Series: "G", Size: "1 1/2"}, "G 1 1/2"},
		{"decimal size", ISO228{}, Name{Series: "G", Size: "1.5"}, "G 1 1/2"},
		{"class", ISO228{}, Name{Series: "G", Size: "1 1/2", Class: "A"}, "G 1 1/2 A"},
		{"small class", ISO228{}, Name{Series: "G", Size: "1 1/2", Class: "b"}, "G 1 1/2 B"},
		{"left hand", ISO228{}, Name{Series: "G", Size: "1 1/2", Class: "A", Hand: Left}, "G 1 1/2 A LH"},
		{"with inch unit", ISO228{}, Name{Series: "G", Size: "1/2", SizeUnit: unit.Inch}, "G 1/2"},
		{"with count", ISO228{}, Name{Series: "G", Size: "1 1/2", PerInch: 11}, "G 1 1/2"},
		{"with pitch", ISO228{}, Name{Series: "G", Size: "1 1/2", Pitch: 2.31}, "G 1 1/2"},
		{"with angle", ISO228{}, Name{Series: "G", Size: "1 1/2", AngleDeg: 55}, "G 1 1/2"},
		{"R", ISO7{}, Name{Series: "R", Size: "1/2"}, "R 1/2"},
		{"Rc", ISO7{}, Name{Series: "Rc", Size: "1/2"}, "Rc 1/2"},
		{"Rp", ISO7{}, Name{Series: "Rp", Size: "1/2"}, "Rp 1/2"},
		{"NPT", NPT{}, Name{Series: "NPT", Size: "1/2", PerInch: 14}, "1/2-14 NPT"},
		{"NPT without count", NPT{}, Name{Series: "NPT", Size: "1/2"}, "1/2-14 NPT"},
		{"NPT left hand", NPT{}, Name{Series: "NPT", Size: "1/2", Hand: Left}, "1/2-14 NPT LH"},
		{"NPSM", NPSM{}, Name{Series: "NPSM", Size: "1 1/2", PerInch: 11.5}, "1 1/2-11.5 NPSM"},
		{"NPSM without count", NPSM{}, Name{Series: "NPSM", Size: "1 1/2"}, "1 1/2-11.5 NPSM"},
		{"NH", NH{}, Name{Series: "NH", Size: "3/4", PerInch: 11.5}, "3/4-11.5 NH"},
		{"NH without count", NH{}, Name{Series: "NH", Size: "3/4"}, "3/4-11.5 NH"},
		{"NH hose size with the same thread", NH{}, Name{Series: "NH", Size: "5/8"}, "3/4-11.5 NH"},
	} {
		t.Run(c.name, func(t *testing.T) {
			th := find(t, c.f, c.n)
			assert.Equal(t, c.want, th.Designation)
			assert.Equal(t, c.n.Hand == Left, th.Hand == Left)
			assert.Equal(t, 1, th.Starts)
			assert.Equal(t, strings.ToUpper(c.n.Class), th.Class)
		})
	}
}

func TestFindRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		f    Family
		n    Name
		says []string
	}{
		{"unknown size", ISO228{}, Name{Series: "G", Size: "1 5/16"}, []string{`no size "1 5/16"`, "1 1/4, 1 1/2"}},
		{"size that is none", ISO228{}, Name{Series: "G", Size: "wide"}, []string{`no size "wide"`}},
		{"no size", ISO7{}, Name{Series: "R"}, []string{`no size ""`}},
		{"millimetres", ISO228{}, Name{Series: "G", Size: "40", SizeUnit: unit.Millimetre}, []string{"trade sizes in inches", "40 mm"}},
		{"class", ISO228{}, Name{Series: "G", Size: "1", Class: "2A"}, []string{`"2A"`, "A or B"}},
		{"class where there is none", ISO7{}, Name{Series: "Rc", Size: "1", Class: "A"}, []string{"Rc 1", "no tolerance classes"}},
		{"class on NPT", NPT{}, Name{Series: "NPT", Size: "1", Class: "2A"}, []string{"1-11.5 NPT", "no tolerance classes"}},
		{"class on NPSM", NPSM{}, Name{Series: "NPSM", Size: "1", Class: "2A"}, []string{"1-11.5 NPSM", "no tolerance classes"}},
		{"class on NH", NH{}, Name{Series: "NH", Size: "3/4", Class: "2A"}, []string{"3/4-11.5 NH", "no tolerance classes"}},
		{"count", NPT{}, Name{Text: "1/2-11.5 NPT", Series: "NPT", Size: "1/2", PerInch: 11.5}, []string{"1/2-11.5 NPT", "has 14 threads per inch, not 11.5"}},
		{"near count", NPSM{}, Name{Series: "NPSM", Size: "1 1/2", PerInch: 11}, []string{"has 11.5 threads per inch, not 11"}},
		{"count on NH", NH{}, Name{Series: "NH", Size: "3/4", PerInch: 14}, []string{"has 11.5 threads per inch, not 14"}},
		{"pitch", ISO228{}, Name{Series: "G", Size: "1", Pitch: 2}, []string{"11 threads per inch", "2.309 mm", "2.000 mm"}},
		{"angle", ISO228{}, Name{Series: "G", Size: "1", AngleDeg: 60}, []string{"55 degrees, not 60"}},
		{"starts", ISO228{}, Name{Series: "G", Size: "1", Starts: 2}, []string{"one start, not 2"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, ok, err := c.f.Find(c.n)
			assert.True(t, ok)
			for _, s := range c.says {
				assert.ErrorContains(t, err, s)
			}
		})
	}
}

func TestFamiliesLeaveOthersAlone(t *testing.T) {
	for _, f := range []Family{ISO228{}, ISO7{}, NPT{}, NPSM{}, NH{}} {
		for _, series := range []string{"", "UN", "M", "UNC"} {
			_, ok, err := f.Find(Name{Series: series, Size: "1/2", PerInch: 14})
			assert.False(t, ok, "%T %q", f, series)
			assert.NoError(t, err)
		}
		_, err := f.Limits(Thread{Designation: "M20", Series: "M"}, "", true)
		assert.ErrorContains(t, err, "M20")
		_, err = f.Limits(f.Threads()[0], "4h", true)
		assert.ErrorContains(t, err, `"4h"`)
	}
}

// Every thread of every table: its name finds it again, is the only one of that name, agrees with its diameter and
// pitch, its diameters fall in order, and its limits do not cross.
func TestTablesWalk(t *testing.T) {
	seen := map[string]bool{}
	walked := 0
	for _, f := range []interface {
		Sourced
		Series() []string
	}{ISO228{}, ISO7{}, NPT{}, NPSM{}, NH{}} {
		last := map[string]unit.Length{}
		for _, th := range f.Threads() {
			walked++
			name := th.Designation
			assert.False(t, seen[plainText(name)], "%s stands twice", name)
			seen[plainText(name)] = true
			assert.Contains(t, f.Series(), th.Series)
			assert.Equal(t, f.Standard(), th.Standard)
			assert.Contains(t, f.Source(th), f.Standard(), name)

			size := strings.TrimPrefix(strings.TrimSuffix(name, " "+th.Series), th.Series+" ")
			n := Name{Series: th.Series, Size: size}
			if at := strings.LastIndex(size, "-"); at >= 0 {
				n.Size, n.PerInch = size[:at], asFloat(t, size[at+1:])
				assert.InDelta(t, n.PerInch, 25.4/th.Pitch.MM(), 1e-9, "%s: pitch against its name", name)
			}
			assert.Equal(t, th, find(t, f, n))
			// A trade size is near the bore, so the outside is larger, by less than 0.7 in.
			sixty, ok := sixtyFourths(n.Size)
			require.True(t, ok, name)
			over := th.Basic.Major.Inches() - float64(sixty)/64
			assert.True(t, over > -0.001 && over < 0.7, "%s: major diameter %.4f in against its name", name, th.Basic.Major.Inches())

			b := th.Basic
			assert.Greater(t, b.Major, b.Pitch, name)
			assert.Greater(t, b.Pitch, b.Minor, name)
			assert.Greater(t, b.Major, last[th.Series], "%s: sizes rise", name)
			last[th.Series] = b.Major
			depth := (b.Major - b.Minor).MM() / 2
			assert.InDelta(t, th.Form.DepthPerPitch*th.Pitch.MM(), depth, 0.002, "%s: depth against its form", name)

			for _, external := range []bool{true, false} {
				l, err := f.Limits(th, "", external)
				require.NoError(t, err, name)
				for _, pair := range [][2]*unit.Length{{l.MajorMax, l.MajorMin}, {l.PitchMax, l.PitchMin}, {l.MinorMax, l.MinorMin}} {
					if pair[0] != nil && pair[1] != nil {
						assert.Greater(t, *pair[0], *pair[1], name)
					}
				}
			}
			ext, _ := f.Limits(th, "", true)
			in, _ := f.Limits(th, "", false)
			// The largest screw goes into the smallest nut. Rp is left out: its tolerance lies to both sides of the basic size.
			if ext.PitchMax != nil && in.PitchMin != nil && th.Series != "Rp" {
				assert.LessOrEqual(t, *ext.PitchMax, *in.PitchMin, name)
			}
		}
	}
	assert.Equal(t, 20+3*13+16+13+4, walked)
}

func TestSixtyFourths(t *testing.T) {
	for text, want := range map[string]int{"1/16": 4, "1/2": 32, "1 1/2": 96, "1-1/2": 96, "1.5": 96, "2": 128, "0.1563": 10} {
		got, ok := sixtyFourths(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "0", "-1", "1/0", "x", "1 1/2 mm", "0.51", "1e9"} {
		_, ok := sixtyFourths(text)
		assert.False(t, ok, text)
	}
}
