package bench

// This file counts crests on a picture that the page posts, and counts again when marks were moved.

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"tryring/internal/photo"
	"tryring/internal/reading"
)

// photoPath is where pictures are posted; only there a body may be as large as they are.
const photoPath = "/api/photo"

const firstKey = "photo.first"

// photoView is what the page shows of a picture, or of the marks on it.
type photoView struct {
	Faults []fault `json:"faults"`
	// Says tells what was counted, in words; Refusals why nothing was, and what would mend it.
	Says     []string        `json:"says"`
	Refusals []photo.Refusal `json:"refusals"`
	// Pitch is what goes into the field of the pitch; "" while there is none.
	Pitch string `json:"pitch"`
	// Diameter is the same of the outside diameter, which a sheet under the part tells, and Move what to do next with the camera.
	Diameter string `json:"diameter"`
	Move     string `json:"move"`
	pictureView
	// Marks are the crests that were found, or the places of those that were sent.
	Marks []markView `json:"marks"`
	// Odd is the place among the marks sent of one that is no crest of its row; -1 for none.
	Odd int `json:"odd"`
}

// pictureView is what is known of the picture; it comes back with the marks.
type pictureView struct {
	Width   int     `json:"width"`
	Height  int     `json:"height"`
	Focal35 float64 `json:"focal35"`
}

type markView struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	// Hand is set for a mark that a person put or moved.
	Hand bool `json:"hand"`
	// Pixel is the size of a pixel of the screen when it was put, in pixels of the picture.
	Pixel float64 `json:"pixel"`
	// Edge is the edge that the crest stands on, Number its number there, 0 while it has none.
	Edge   string `json:"edge"`
	Number int    `json:"number"`
	// OutX and OutY point away from the part.
	OutX float64 `json:"out_x"`
	OutY float64 `json:"out_y"`
}

// handMarks is what the page sends for a count.
type handMarks struct {
	pictureView
	Marks []markView `json:"marks"`
	// Pixel is the size of a pixel of the screen in pixels of the picture.
	Pixel float64 `json:"pixel"`
	// Doubt is set where the picture gave no answer: then what was found on it stands no better than what a person put.
	Doubt bool `json:"doubt"`
}

// marked is what was sent, ready to be counted.
func (h handMarks) marked(known photo.Options) photo.Marked {
	m := photo.Marked{Width: h.Width, Height: h.Height, Focal35: h.Focal35, Outside: known.Outside, Distance: known.Distance}
	for _, mark := range h.Marks {
		c := photo.HandMark{Mark: photo.Mark{X: mark.X, Y: mark.Y}}
		switch {
		case mark.Hand:
			c.UHand = math.Max(leastHand, handPixels*mark.Pixel)
		case h.Doubt:
			c.UHand = math.Max(leastHand, handPixels*h.Pixel)
		}
		m.Crests = append(m.Crests, c)
	}
	return m
}

// byHand says in words how many marks a person put, and what else stands on the person's eye.
func (h handMarks) byHand() string {
	n := 0
	for _, mark := range h.Marks {
		if mark.Hand {
			n++
		}
	}
	text := fmt.Sprintf("%d of %d marks were put by hand.", n, len(h.Marks))
	if h.Doubt {
		text += " The picture by itself gave no answer, so this is worth what your marks are: check each one."
	}
	return text
}

const (
	// handPixels is how well a finger or a pointer puts a mark, in pixels of the screen (judgement, no published source).
	handPixels = 1.5
	// leastHand is the same in pixels of the picture, however large it is shown.
	leastHand = 0.7
	// maxMarksBody bounds the marks that are sent, in bytes.
	maxMarksBody = 128 << 10
)

// photo answers POST /api/photo: the picture is the body, what is known beside it stands in the query. Where firstKey says how many bytes the
// picture has, one of the same part from the other side of the sheet follows it.
func (s *site) photo(r Request) Answer {
	view := newPhotoView()
	f, faults := readForm(r.Query)
	known := view.known(f, faults)
	n, err := strconv.Atoi(cmp.Or(r.Query.Get(firstKey), strconv.Itoa(len(r.Body))))
	if err != nil || n < 0 || n > len(r.Body) {
		return says(badRequest, "the pictures did not arrive whole")
	}
	p, err := photo.Decode(bytes.NewReader(r.Body[:n]))
	if err == nil && n < len(r.Body) {
		known.Other, err = photo.Decode(bytes.NewReader(r.Body[n:]))
	}
	if err != nil {
		view.Faults = append(view.Faults, fault{"photo", err.Error()})
	}
	if len(view.Faults) == 0 {
		found, err := photo.Measure(p, known)
		if err != nil {
			view.Faults = append(view.Faults, fault{"photo", err.Error()})
		} else {
			view.tell(found)
			if found.Sheet != nil { // seen from above: hands that mark crests from the side have nothing to do there
				view.Marks = []markView{}
				return answer(view)
			}
			marked := photo.MarkedOn(p, found)
			view.pictureView = pictureView{marked.Width, marked.Height, marked.Focal35}
		}
	}
	return answer(view)
}

// countMarks answers POST /api/photo/count: the marks are the body.
func (s *site) countMarks(r Request) Answer {
	view := newPhotoView()
	f, faults := readForm(r.Query)
	known := view.known(f, faults)
	var sent handMarks
	if len(r.Body) > maxMarksBody || json.Unmarshal(r.Body, &sent) != nil {
		return says(badRequest, "the marks did not arrive whole")
	}
	view.pictureView = sent.pictureView
	if len(view.Faults) == 0 {
		found, places, err := photo.Recount(sent.marked(known))
		var odd *photo.OddMark
		if errors.As(err, &odd) {
			view.Odd = odd.Index
		}
		if err != nil {
			view.Faults = append(view.Faults, fault{"photo", err.Error()})
		} else {
			view.tell(found)
			view.place(sent.Marks, found, places)
			view.Says = append(view.Says, sent.byHand())
		}
	}
	return answer(view)
}

func newPhotoView() photoView {
	return photoView{Faults: []fault{}, Says: []string{}, Refusals: []photo.Refusal{}, Marks: []markView{}, Odd: -1}
}

// known reads what stands in the fields beside the picture: the outside diameter and the camera's distance.
func (v *photoView) known(f form, faults []fault) (o photo.Options) {
	for _, one := range faults {
		if one.Field == goes.prefix+"outside" || one.Field == distanceKey || one.Field == lineKey || one.Field == "instrument" {
			v.Faults = append(v.Faults, one)
		}
	}
	distance, err := f.length(distanceKey)
	switch {
	case err != nil:
		v.Faults = append(v.Faults, fault{distanceKey, err.Error()})
	case distance != nil && *distance <= 0:
		v.Faults = append(v.Faults, fault{distanceKey, fmt.Sprintf("%s is not above 0", distance.TextMM())})
	case distance != nil:
		o.Distance = *distance
	}
	line, err := f.length(lineKey)
	switch {
	case err != nil:
		v.Faults = append(v.Faults, fault{lineKey, err.Error()})
	case line != nil:
		ruler, _ := reading.FindInstrument("ruler")
		e := reading.Reading{Value: *line, Instrument: ruler}.Across()
		o.Line = &e
	}
	var outside []reading.Record
	if sh, _ := f.sheet(); sh.Document != nil {
		outside = slices.DeleteFunc(*sh.Readings(goes.name), func(r reading.Record) bool { return r.What != goes.across })
	}
	if len(outside) > 0 {
		set, err := reading.Read(outside...)
		if err != nil { // told beside its field already
			v.Faults = append(v.Faults, fault{"photo", "the outside diameter cannot be read yet"})
			return o
		}
		o.Outside = set.Find().Diameter
	}
	return o
}

// tell puts a result into words and marks.
func (v *photoView) tell(r *photo.Result) {
	v.Refusals, v.Move = append(v.Refusals, r.Refusals...), r.Move()
	for k, o := range r.Outlines {
		x, y := o.Away(r.Outlines[1-k])
		for i, c := range o.Crests {
			v.Marks = append(v.Marks, markView{X: c.X, Y: c.Y, Edge: o.Side, Number: i + 1, OutX: x, OutY: y})
		}
	}
	if !r.Answered {
		return
	}
	v.Says = append(v.Says, sentence(r.Words()))
	v.Diameter = r.DiameterReading()
	if v.Pitch = r.PitchReading(); v.Pitch == "" {
		v.Says = append(v.Says, "Read the outside diameter above, and this becomes a pitch.")
	}
	counts := make([]string, len(r.Outlines))
	for k, o := range r.Outlines {
		counts[k] = fmt.Sprintf("%d on the %s edge", len(o.Crests), o.Side)
	}
	v.Says = append(v.Says, fmt.Sprintf("Full crests: %s. Tapers: %s.", strings.Join(counts, ", "), r.Tapers))
	for _, text := range append(append([]string{}, r.LeftOut...), r.Notes...) {
		v.Says = append(v.Says, sentence(text))
	}
}

// place gives the marks back in the order in which they were sent, each with its place.
func (v *photoView) place(sent []markView, r *photo.Result, places []photo.Place) {
	v.Marks = v.Marks[:0]
	for i, p := range places {
		o := r.Outlines[p.Outline]
		m := sent[i]
		m.Edge, m.Number = o.Side, p.Number
		m.OutX, m.OutY = o.Away(r.Outlines[1-p.Outline])
		v.Marks = append(v.Marks, m)
	}
}

// distanceKey is the field of the camera's distance.
const distanceKey = "photo.distance"

// lineKey is the field of what the long line on the sheet under a part reads.
const lineKey = "photo.line"

// goes is the part with the thread outside, whose picture can be counted on.
var goes = sides[1]
