package draw

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/ring"
	"tryring/internal/thread"
)

// jobRoom is about what a bench sheet has left for the picture.
var jobRoom = box{10, 20, 200, 90}

func jobSheet(t require.TestingT, p ring.Plan) *sheet {
	s := newSheet(A4)
	_, err := s.job(p, jobRoom)
	require.NoError(t, err)
	return &s
}

// jobClashes lists words that overlap, leave the room or are crossed by a line.
func jobClashes(t require.TestingT, p ring.Plan) (found []string) {
	s := jobSheet(t, p)
	require.Greater(t, len(s.labels), 10)
	for i, a := range s.labels {
		if !a.box.within(jobRoom) {
			found = append(found, fmt.Sprintf("label %q leaves the room: %v", a.text, a.box))
		}
		for _, b := range s.labels[:i] {
			if a.box.overlaps(b.box) {
				found = append(found, fmt.Sprintf("labels %q and %q overlap", a.text, b.text))
			}
		}
		for _, line := range s.strokes() {
			for k := 1; k < len(line); k++ {
				if a.box.crossedBy(line[k-1], line[k]) {
					found = append(found, fmt.Sprintf("label %q is crossed by the line from %v to %v", a.text, line[k-1], line[k]))
				}
			}
		}
	}
	return found
}

// TestJobShowsThreePartsThatMeet reads the cut faces of the view that is screwed home: they are to one scale, no two of them overlap,
// and the mates' ends stand where the plan says that they stop.
func TestJobShowsThreePartsThatMeet(t *testing.T) {
	for _, sm := range samples {
		t.Run(sm.name, func(t *testing.T) {
			p := sm.plan(t)
			var b bytes.Buffer
			require.NoError(t, JobView(&b, p))
			keep(t, "job "+sm.name+".svg", b.Bytes())
			assert.Empty(t, jobClashes(t, p))

			s := newSheet(A4)
			k, err := s.job(p, jobRoom)
			require.NoError(t, err)
			faces := map[string][][]at{}
			hatched := map[string]float64{}
			for _, m := range s.marks {
				if name, cut := strings.CutSuffix(m.class, " cut"); cut {
					faces[name] = append(faces[name], m.runs[0])
				}
				if name, hatch := strings.CutPrefix(m.class, "hatch "); hatch {
					for _, l := range m.runs {
						hatched[name] += math.Hypot(l[1].X-l[0].X, l[1].Y-l[0].Y)
					}
				}
			}
			require.Len(t, faces, 3)
			for name, two := range faces {
				require.Len(t, two, 2, "%s apart and screwed home", name)
				assert.InDelta(t, area(two[0]), area(two[1]), 0.01, "%s is the same in both", name)
				if a := area(two[0]); a > 20 {
					assert.InEpsilon(t, a, hatched[name]*jobHatch/2, 0.3, "%s is hatched", name)
				}
			}
			top, bottom := extremes(faces["ring"][1])
			assert.InDelta(t, p.Height.MM()*k, bottom-top, 0.01)
			inner, outer := meetingPlaces(p)
			_, end := extremes(faces["goes"][1])
			assert.InDelta(t, inner.endMM*k, end-top, 0.01, "the end of the part that goes in")
			mouth, _ := extremes(faces["stays"][1])
			assert.InDelta(t, outer.endMM*k, mouth-top, 0.01, "the mouth of the part that stays")
			// Where the plan's flange, cone, full form and, from ASME B1.20.1-2013 table 2, the hand-tight lengths of NPT say.
			handTight := map[string]float64{"1/2-14 NPT": 0.320 * 25.4, "3/4-14 NPT": 0.339 * 25.4, "1-11.5 NPT": 0.400 * 25.4}
			wantEnd, wantMouth := p.Inner.FullMM[1], p.Outer.FullMM[0]
			if long, taper := handTight[sm.inner]; taper {
				wantEnd = math.Min(long, wantEnd)
			}
			if long, taper := handTight[sm.outer]; taper {
				wantMouth = math.Max(p.Height.MM()-long, wantMouth)
			} else if p.Shape.Flange == nil && p.Layout == ring.Nested {
				wantMouth = 0
			}
			assert.InDelta(t, wantEnd, inner.endMM, 0.01)
			assert.InDelta(t, wantMouth, outer.endMM, 0.01)
			assert.Greater(t, inner.toMM-inner.fromMM, p.Inner.Thread.Pitch.MM()*0.9, "engaged")
			assert.Greater(t, outer.toMM-outer.fromMM, p.Outer.Thread.Pitch.MM()*0.9, "engaged")
			// No material in material: halfway along each chord of one face, just inside of it, there is nothing of another.
			const insideMM = 0.03
			for name, two := range faces {
				for i, a := range two[1] {
					b := two[1][(i+1)%len(two[1])]
					long := math.Hypot(b.X-a.X, b.Y-a.Y)
					if long < 0.05 {
						continue
					}
					for _, way := range []float64{-insideMM, insideMM} {
						q := at{(a.X+b.X)/2 - way*(b.Y-a.Y)/long, (a.Y+b.Y)/2 + way*(b.X-a.X)/long}
						for other, faces := range faces {
							if other != name && inside(two[1], q) {
								assert.False(t, inside(faces[1], q), "%s in %s at %v", name, other, q)
							}
						}
					}
				}
			}
		})
	}
}

// TestJobTurnsAsTheHandSays: in front of the axis a right-hand part screwed in from above turns to the left.
func TestJobTurnsAsTheHandSays(t *testing.T) {
	for _, hands := range [][2]string{{"", ""}, {" LH", ""}, {"", " LH"}, {" LH", " LH"}} {
		p := sample{inner: "24mm x 4mm" + hands[0], outer: "42mm x 5mm" + hands[1]}.plan(t)
		var turns [][]at
		crests := map[bool]int{}
		s := jobSheet(t, p)
		for i, m := range s.marks {
			switch m.class {
			case "turn":
				turns = append(turns, m.runs[0])
				assert.Equal(t, m.runs[0][len(m.runs[0])-1], s.marks[i+1].runs[0][0], "the arrow stands at the end")
			case "crest":
				left := s.marks[i-1].class == "goes seen" && hands[0] != "" || s.marks[i-1].class == "ring seen" && hands[1] != ""
				high, low := extremes(s.marks[i-1].runs[0])
				for _, c := range m.runs {
					assert.True(t, min(c[0].Y, c[1].Y) > high && max(c[0].Y, c[1].Y) < low, "crests stay on their part")
					assert.Equal(t, left, (c[1].Y-c[0].Y)*(c[1].X-c[0].X) > 0, "crests of right-hand threads rise to the right, %v", hands)
					crests[left]++
				}
			}
		}
		require.Len(t, turns, 2)
		assert.Greater(t, crests[true]+crests[false], 12, "of both parts, in both views")
		for i, side := range []ring.Side{p.Inner, p.Outer} {
			front := at{0, math.Inf(-1)} // the lowest point of the arc is in front
			at, before := 0, turns[i]
			for k, q := range before {
				if q.Y > front.Y {
					front, at = q, k
				}
			}
			assert.Equal(t, side.Thread.Hand == thread.Right, before[at+1].X < before[at-1].X, "%v", hands)
		}
	}
}

func TestJobWordsKeepApartOnAnyRing(t *testing.T) {
	drawn := 0
	rapid.Check(t, func(t *rapid.T) {
		p, err := ring.New(anySpec(t))
		if err != nil {
			return // a ring that cannot be
		}
		drawn++
		if found := jobClashes(t, p); len(found) > 0 {
			t.Fatalf("%s, %s: %s", p.Designations(), p.Layout, strings.Join(found, "; "))
		}
	})
	assert.Positive(t, drawn)
}
