package thread

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tryring/internal/unit"
)

func TestFindBySize(t *testing.T) {
	for _, c := range []struct {
		name string
		f    family
		n    Name
		want string
	}{
		{"G", inTable("G"), Name{Series: "G", Size: "1 1/2"}, "G 1 1/2"},
		{"decimal size", inTable("G"), Name{Series: "G", Size: "1.5"}, "G 1 1/2"},
		{"class", inTable("G"), Name{Series: "G", Size: "1 1/2", Class: "A"}, "G 1 1/2 A"},
		{"small class", inTable("G"), Name{Series: "G", Size: "1 1/2", Class: "b"}, "G 1 1/2 B"},
		{"with inch unit", inTable("G"), Name{Series: "G", Size: "1/2", SizeUnit: unit.Inch}, "G 1/2"},
		{"with count", inTable("G"), Name{Series: "G", Size: "1 1/2", PerInch: 11}, "G 1 1/2"},
		{"with pitch", inTable("G"), Name{Series: "G", Size: "1 1/2", Pitch: 2.31}, "G 1 1/2"},
		{"with angle", inTable("G"), Name{Series: "G", Size: "1 1/2", AngleDeg: 55}, "G 1 1/2"},
		{"R", inTable("R"), Name{Series: "R", Size: "1/2"}, "R 1/2"},
		{"Rc", inTable("R"), Name{Series: "Rc", Size: "1/2"}, "Rc 1/2"},
		{"Rp", inTable("R"), Name{Series: "Rp", Size: "1/2"}, "Rp 1/2"},
		{"NPT", inTable("NPT"), Name{Series: "NPT", Size: "1/2", PerInch: 14}, "1/2-14 NPT"},
		{"NPT without count", inTable("NPT"), Name{Series: "NPT", Size: "1/2"}, "1/2-14 NPT"},
		{"NPSM", inTable("NPSM"), Name{Series: "NPSM", Size: "1 1/2", PerInch: 11.5}, "1 1/2-11.5 NPSM"},
		{"NPSM without count", inTable("NPSM"), Name{Series: "NPSM", Size: "1 1/2"}, "1 1/2-11.5 NPSM"},
		{"NH", inTable("NH"), Name{Series: "NH", Size: "3/4", PerInch: 11.5}, "3/4-11.5 NH"},
		{"NH without count", inTable("NH"), Name{Series: "NH", Size: "3/4"}, "3/4-11.5 NH"},
		{"NH hose size with the same thread", inTable("NH"), Name{Series: "NH", Size: "5/8"}, "3/4-11.5 NH"},
	} {
		t.Run(c.name, func(t *testing.T) {
			th := find(t, c.f, c.n)
			assert.Equal(t, c.want, th.Designation)
			assert.Equal(t, 1, th.Starts)
			assert.Equal(t, strings.ToUpper(c.n.Class), th.Class)
		})
	}
}

func TestFindRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		f    family
		n    Name
		says []string
	}{
		{"unknown size", inTable("G"), Name{Series: "G", Size: "1 5/16"}, []string{`no size "1 5/16"`, "1 1/4, 1 1/2"}},
		{"size that is none", inTable("G"), Name{Series: "G", Size: "wide"}, []string{`no size "wide"`}},
		{"no size", inTable("R"), Name{Series: "R"}, []string{`no size ""`}},
		{"millimetres", inTable("G"), Name{Series: "G", Size: "40", SizeUnit: unit.Millimetre}, []string{"trade sizes in inches", "40 mm"}},
		{"class", inTable("G"), Name{Series: "G", Size: "1", Class: "2A"}, []string{`"2A"`, "A or B"}},
		{"class where there is none", inTable("R"), Name{Series: "Rc", Size: "1", Class: "A"}, []string{"Rc 1", "no tolerance classes"}},
		{"class on NPT", inTable("NPT"), Name{Series: "NPT", Size: "1", Class: "2A"}, []string{"1-11.5 NPT", "no tolerance classes"}},
		{"class on NPSM", inTable("NPSM"), Name{Series: "NPSM", Size: "1", Class: "2A"}, []string{"1-11.5 NPSM", "no tolerance classes"}},
		{"class on NH", inTable("NH"), Name{Series: "NH", Size: "3/4", Class: "2A"}, []string{"3/4-11.5 NH", "no tolerance classes"}},
		{"count", inTable("NPT"), Name{Text: "1/2-11.5 NPT", Series: "NPT", Size: "1/2", PerInch: 11.5}, []string{"has 14 threads per inch, not 11.5"}},
		{"near count", inTable("NPSM"), Name{Series: "NPSM", Size: "1 1/2", PerInch: 11}, []string{"has 11.5 threads per inch, not 11"}},
		{"count on NH", inTable("NH"), Name{Series: "NH", Size: "3/4", PerInch: 14}, []string{"has 11.5 threads per inch, not 14"}},
		{"pitch", inTable("G"), Name{Series: "G", Size: "1", Pitch: 2}, []string{"11 threads per inch", "2.309 mm", "2.000 mm"}},
		{"angle", inTable("G"), Name{Series: "G", Size: "1", AngleDeg: 60}, []string{"55 degrees, not 60"}},
		{"starts", inTable("G"), Name{Series: "G", Size: "1", Starts: 2}, []string{"one start, not 2"}},
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
	for _, f := range []family{inTable("G"), inTable("R"), inTable("NPT"), inTable("NPSM"), inTable("NH")} {
		for _, series := range []string{"", "UN", "M", "UNC"} {
			_, ok, err := f.Find(Name{Series: series, Size: "1/2", PerInch: 14})
			assert.False(t, ok, "%T %q", f, series)
			assert.NoError(t, err)
		}
		_, err := f.Limits(f.Threads()[0], "4h", true)
		assert.ErrorContains(t, err, `"4h"`)
	}
}
