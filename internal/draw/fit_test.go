package draw

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fit"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// couple is a pair of threads by name.
type couple struct {
	name, external, internal string
	options                  fit.Options
}

var couples = []couple{
	{"goes", "1 3/4-12 UN-2A", "1 3/4-12 UN-2B", fit.Options{}},
	{"goes at most material", "M45x1.5-6g", "M45x1.5-6H", fit.Options{External: fit.Side{At: fit.MaxMaterial}, Internal: fit.Side{At: fit.MaxMaterial}}},
	{"pipe round", "G 1 1/2 A", "G 1 1/2", fit.Options{}},
	{"pitch 11.5 in 14", "1 7/8-11.5 UNS", "1 7/8-14 UNS", fit.Options{}},
	{"pitch 14 in 11.5", "1 7/8-14 UNS", "1 7/8-11.5 UNS", fit.Options{}},
	{"pitch 11.5 in 11", "1 1/2-11.5 NPSM", "G 1 1/2", fit.Options{}},
	{"pitch 11 in 11.5", "G 1 1/2", "1 1/2-11.5 NPSM", fit.Options{}},
	{"55 and 60 degrees", "1/2-14 NPSM", "G 1/2", fit.Options{}},
	{"60 and 55 degrees", "20mm x 1.5mm", "20.4mm x 1.5mm 55deg", fit.Options{}},
	{"taper", "1/2-14 NPT", "1/2-14 NPT", fit.Options{}},
	{"taper in straight", "R 1", "Rp 1", fit.Options{}},
	{"taper unlike", "3/4-14 NPT", "G 3/4", fit.Options{}},
	{"large taper", "2-11.5 NPT", "2-11.5 NPT", fit.Options{}},
	{"over size", "1.9in x 14tpi", "1 7/8-14 UNS", fit.Options{}},
	{"far over size", "2-14 UNS", "1 7/8-14 UNS", fit.Options{}},
	{"under size", "1.85in x 14tpi", "1 7/8-14 UNS", fit.Options{}},
	{"do not meet", "1 5/8-14 UNS", "1 7/8-14 UNS", fit.Options{}},
	{"far apart", "M6", "M120x2", fit.Options{}},
	{"far over", "M120x2", "M6", fit.Options{}},
	{"left in right", "1 3/4-12 UN LH", "1 3/4-12 UN", fit.Options{}},
	{"two starts", "1 3/4-12 UN 2start", "1 3/4-12 UN 2start", fit.Options{}},
	{"two starts in one", "1 3/4-12 UN 2start LH", "1 3/4-12 UN", fit.Options{}},
	{"no allowance", "1.75in x 14tpi", "1.75in x 14tpi", fit.Options{}},
	{"smallest", "M3x0.5-6g", "M3x0.5-6H", fit.Options{}},
	{"large coarse", "M120x6-6g", "M120x6-6H", fit.Options{}},
	{"metric in inch", "M10x1.25-6g", "3/8-20 UN", fit.Options{}},
	{"measured", "1 7/8-14 UNS", "1 7/8-14 UNS", fit.Options{External: fit.Side{Given: &thread.Diameters{Major: unit.Inches(1.86)}, U: 0.05}}},
	{"slowly apart", "45mm x 1.51mm", "45.3mm x 1.5mm", fit.Options{}},
}

func (c couple) data(t require.TestingT) FitData {
	d := FitData{Options: c.options}
	var err error
	d.External, err = thread.Parse(c.external)
	require.NoError(t, err)
	d.Internal, err = thread.Parse(c.internal)
	require.NoError(t, err)
	d.Result, err = fit.Judge(d.External, d.Internal, d.Options)
	require.NoError(t, err)
	return d
}

func fitBytes(t testing.TB, d FitData) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, FitSection(&b, d))
	return b.Bytes()
}

// fitClashes lists labels that overlap, leave the frame, stand in a window or are crossed by a line.
func fitClashes(t require.TestingT, d FitData) []string {
	f, err := newFitDrawing(d)
	require.NoError(t, err)
	f.titleBlock()
	require.Greater(t, len(f.labels), 20)
	var found []string
	for i, a := range f.labels {
		if a.box.X0 < frameLeft || a.box.X1 > frameRight || a.box.Y0 < frameTop || a.box.Y1 > frameBottom {
			found = append(found, fmt.Sprintf("label %q leaves the frame: %v", a.text, a.box))
		}
		for _, v := range f.views {
			if a.box.overlaps(box{v.left, f.top, v.right, f.bottom}) {
				found = append(found, fmt.Sprintf("label %q stands in a window", a.text))
			}
		}
		for _, b := range f.labels[:i] {
			if a.box.overlaps(b.box) {
				found = append(found, fmt.Sprintf("labels %q and %q overlap: %v, %v", a.text, b.text, a.box, b.box))
			}
		}
		for _, line := range f.strokes {
			for k := 1; k < len(line); k++ {
				if a.box.crossedBy(line[k-1], line[k]) {
					found = append(found, fmt.Sprintf("label %q %v is crossed by the line from %v to %v", a.text, a.box, line[k-1], line[k]))
				}
			}
		}
	}
	return found
}

func TestFitLabelsKeepApart(t *testing.T) {
	for _, c := range couples {
		t.Run(c.name, func(t *testing.T) {
			d := c.data(t)
			keep(t, "fit "+c.name+".svg", fitBytes(t, d))
			assert.Empty(t, fitClashes(t, d))
		})
	}
}
