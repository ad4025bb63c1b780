package bench

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/photo"
)

// pictureOf is the path of one of the fixed pictures; thread.jpg shows 16 crests.
func pictureOf(name string) string { return filepath.Join("..", "..", "testdata", "photo", name) }

func pictureBytes(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(pictureOf(name))
	require.NoError(t, err)
	return string(data)
}

// postJSON sends body and returns the answer.
func postJSON[T any](t testing.TB, address, body string) (out T) {
	t.Helper()
	status, told := post(t, address, body)
	require.Equal(t, http.StatusOK, status, "%s", told)
	require.NoError(t, json.Unmarshal(told, &out))
	return out
}

func TestPhotoIsCounted(t *testing.T) {
	at := open(t)
	found := postJSON[photoView](t, at+photoPath+"?goes.outside=47", pictureBytes(t, "thread.jpg"))
	require.Empty(t, found.Faults)
	assert.Empty(t, found.Refusals)
	assert.Len(t, found.Marks, 33)
	assert.Equal(t, 1, found.Marks[0].Number)
	assert.InDelta(t, 1, math.Hypot(found.Marks[0].OutX, found.Marks[0].OutY), 1e-9)
	require.NotEmpty(t, found.Pitch)

	// The field takes what the answer gives it.
	told := getJSON[identified](t, at+"/api/identify?"+url.Values{"part": {"goes"}, "goes.outside": {"47"}, "goes.pitch": {found.Pitch}}.Encode())
	require.Empty(t, told.Faults)
	assert.NotEmpty(t, told.Candidates)

	unscaled := postJSON[photoView](t, at+photoPath, pictureBytes(t, "thread.jpg"))
	assert.Empty(t, unscaled.Pitch)
	assert.Contains(t, strings.Join(unscaled.Says, " "), "Read the outside diameter")

	nothing := postJSON[photoView](t, at+photoPath+"?goes.outside=47", pictureBytes(t, "pipe.jpg"))
	assert.NotEmpty(t, nothing.Refusals)
	assert.Empty(t, nothing.Pitch)
	assert.Positive(t, nothing.Width, "crests can still be marked by hand")
}

// TestPhotoOnTheSheet has a part that lies on the sheet told whole, and no marks that hands would count as seen from the side.
func TestPhotoOnTheSheet(t *testing.T) {
	at := open(t)
	found := postJSON[photoView](t, at+photoPath+"?photo.line=150.5mm", pictureBytes(t, "lying-lit.jpg"))
	require.Empty(t, found.Faults)
	assert.Empty(t, found.Refusals)
	assert.Empty(t, found.Marks)
	assert.Zero(t, found.Width)
	assert.NotEmpty(t, found.Pitch)
	assert.Empty(t, found.Diameter) // one picture does not tell it
	told := getJSON[identified](t, at+"/api/identify?"+url.Values{"part": {"goes"}, "goes.outside": {"47.6"}, "goes.pitch": {found.Pitch}}.Encode())
	require.Empty(t, told.Faults)
	assert.NotEmpty(t, told.Candidates)

	assert.Contains(t, found.Move, "light")
	near, far := pictureBytes(t, "lying-near.jpg"), pictureBytes(t, "lying-far.jpg")
	both := postJSON[photoView](t, fmt.Sprintf("%s%s?photo.line=150mm&%s=%d", at, photoPath, firstKey, len(near)), near+far)
	require.Empty(t, both.Faults)
	assert.NotEmpty(t, both.Diameter)
	assert.Empty(t, both.Move)
	mixed := postJSON[photoView](t, fmt.Sprintf("%s%s?%s=%d", at, photoPath, firstKey, len(near)), near+pictureBytes(t, "thread.jpg"))
	require.Len(t, mixed.Faults, 1)
	assert.Contains(t, mixed.Faults[0].Text, "the sheet is seen in both")
	wrong := postJSON[photoView](t, at+photoPath+"?photo.line=long", pictureBytes(t, "lying-lit.jpg"))
	require.Len(t, wrong.Faults, 1)
	assert.Equal(t, lineKey, wrong.Faults[0].Field)
}

// recounted sends marks for a count.
func recounted(t testing.TB, at, query string, sent handMarks) photoView {
	t.Helper()
	body, err := json.Marshal(sent)
	require.NoError(t, err)
	return postJSON[photoView](t, at+photoPath+"/count?"+query, string(body))
}

func TestPhotoMarksAreCountedAgain(t *testing.T) {
	at := open(t)
	found := postJSON[photoView](t, at+photoPath+"?goes.outside=47", pictureBytes(t, "thread.jpg"))
	sent := handMarks{pictureView: found.pictureView, Marks: found.Marks, Pixel: 1}
	again := recounted(t, at, "goes.outside=47", sent)
	require.Empty(t, again.Faults)
	require.Len(t, again.Marks, 33)
	assert.NotEmpty(t, again.Pitch)

	sent.Marks = append(sent.Marks[:5:5], sent.Marks[6:]...)
	sent.Marks[2].Hand = true
	sent.Marks[2].X += 0.5
	moved := recounted(t, at, "goes.outside=47", sent)
	require.Empty(t, moved.Faults)
	assert.Equal(t, []int{1, 2, 3, 4, 5, 7}, []int{moved.Marks[0].Number, moved.Marks[1].Number, moved.Marks[2].Number, moved.Marks[3].Number, moved.Marks[4].Number, moved.Marks[5].Number})
	assert.True(t, moved.Marks[2].Hand)
	assert.Contains(t, strings.Join(moved.Says, " "), "1 of 32 marks were put by hand")

	sent.Marks[3].Y += 9
	off := recounted(t, at, "goes.outside=47", sent)
	require.Len(t, off.Faults, 1)
	assert.Contains(t, []int{2, 3, 4}, off.Odd)
	assert.Equal(t, "photo", off.Faults[0].Field)
	assert.Contains(t, off.Faults[0].Text, "strike it out")
}

// halfOf is half the range that is put into the field of the pitch, in mm.
func halfOf(t testing.TB, v photoView) float64 {
	t.Helper()
	var pitch, half float64
	_, err := fmt.Sscanf(v.Pitch, "%f +- %f mm", &pitch, &half)
	require.NoError(t, err, "%q", v.Pitch)
	return half
}

// TestPhotoMarksAreWorthTheHandThatPutThem holds each mark to how finely the picture was shown when it was put.
func TestPhotoMarksAreWorthTheHandThatPutThem(t *testing.T) {
	at := open(t)
	found := postJSON[photoView](t, at+photoPath+"?goes.outside=47", pictureBytes(t, "thread.jpg"))
	put := func(shown float64, now float64) float64 {
		sent := handMarks{pictureView: found.pictureView, Pixel: now}
		for _, m := range found.Marks {
			m.Hand, m.Pixel = true, shown
			sent.Marks = append(sent.Marks, m)
		}
		return halfOf(t, recounted(t, at, "goes.outside=47", sent))
	}
	assert.Greater(t, put(4, 4), put(1, 4), "put on a larger picture")
	assert.InDelta(t, put(4, 4), put(4, 0.1), 1e-9, "looking closer later makes no mark better")
	assert.GreaterOrEqual(t, put(1, 1), halfOf(t, found), "a hand is no better than the picture")
}

// TestPhotoInDoubt counts again where the picture gave no answer: what was found is then worth no more than a hand's mark.
func TestPhotoInDoubt(t *testing.T) {
	at := open(t)
	found := postJSON[photoView](t, at+photoPath+"?goes.outside=40", pictureBytes(t, "rings.jpg"))
	require.NotEmpty(t, found.Refusals)
	require.NotEmpty(t, found.Marks)
	assert.Empty(t, found.Pitch)
	sent := handMarks{pictureView: found.pictureView, Marks: found.Marks, Pixel: 2}
	sure := recounted(t, at, "goes.outside=40&photo.distance=450", sent)
	sent.Doubt = true
	doubted := recounted(t, at, "goes.outside=40&photo.distance=450", sent)
	assert.Greater(t, halfOf(t, doubted), halfOf(t, sure))
	assert.Contains(t, strings.Join(doubted.Says, " "), "gave no answer")
	assert.Contains(t, strings.Join(doubted.Says, " "), "as on rings")
}

func TestPhotoRefuses(t *testing.T) {
	at := open(t)
	good := pictureBytes(t, "thread.jpg")
	for _, c := range []struct{ name, query, body, field, says string }{
		{"empty", "", "", "photo", "JPEG"},
		{"text", "", "hello, this is no picture", "photo", "JPEG"},
		{"cut short", "", good[:len(good)/2], "photo", "not a picture"},
		{"distance of words", "photo.distance=far", good, distanceKey, `"far"`},
		{"distance of nothing", "photo.distance=0", good, distanceKey, "above 0"},
		{"distance within the part", "goes.outside=47&photo.distance=20", good, "photo", "more than the part's diameter"},
		{"outside of words", "goes.outside=wide", good, "photo", "cannot be read yet"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := postJSON[photoView](t, at+photoPath+"?"+c.query, c.body)
			require.NotEmpty(t, found.Faults)
			assert.Equal(t, c.field, found.Faults[0].Field)
			assert.Contains(t, found.Faults[0].Text, c.says)
			assert.Empty(t, found.Marks)
		})
	}
	for _, c := range []struct {
		name, path, body string
		status           int
	}{
		{"more than arrived", photoPath + "?" + firstKey + "=999999999", good, http.StatusBadRequest},
		{"less than nothing", photoPath + "?" + firstKey + "=-1", good, http.StatusBadRequest},
		{"no marks at all", photoPath + "/count", "", http.StatusBadRequest},
		{"marks that are none", photoPath + "/count", `{"marks": 7}`, http.StatusBadRequest},
		{"marks without end", photoPath + "/count", `{"marks": [` + strings.Repeat(`{"x":1},`, 50_000), http.StatusBadRequest},
		{"a picture where marks belong", photoPath + "/count", good, http.StatusBadRequest},
		{"larger than any picture", photoPath, strings.Repeat("x", photo.MaxBytes+2), http.StatusRequestEntityTooLarge},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, _ := post(t, at+c.path, c.body)
			assert.Equal(t, c.status, status)
		})
	}
	many := recounted(t, at, "", handMarks{pictureView: pictureView{Width: 900, Height: 600}, Pixel: 1, Marks: make([]markView, photo.MostMarks+1)})
	require.NotEmpty(t, many.Faults)
	assert.Contains(t, many.Faults[0].Text, "at most 400")
	r, err := http.Post(at+photoPath, "image/jpeg", strings.NewReader(good)) // as another site would
	require.NoError(t, err)
	require.NoError(t, r.Body.Close())
	assert.Equal(t, http.StatusForbidden, r.StatusCode)
}

// FuzzCountMarks posts marks of all kinds: the answer is a count, a fault in words, or a plain no.
func FuzzCountMarks(f *testing.F) {
	at := open(f)
	found := postJSON[photoView](f, at+photoPath, pictureBytes(f, "thread.jpg"))
	whole, err := json.Marshal(handMarks{pictureView: found.pictureView, Marks: found.Marks, Pixel: 1, Doubt: true})
	require.NoError(f, err)
	f.Add(string(whole))
	f.Add(`{"width":900,"height":600,"marks":[{"x":1e308,"y":-1e308}],"pixel":-1}`)
	f.Add(`{"width":-9,"height":1e3}`)
	f.Fuzz(func(t *testing.T, body string) {
		a := new(site).countMarks(Request{Query: url.Values{"goes.outside": {"47"}}, Body: []byte(body)}) // no network between them, which would make the fuzzer slow
		if a.Status == badRequest {
			return
		}
		require.Equal(t, okay, a.Status)
		told := a.Body
		var v photoView
		require.NoError(t, json.Unmarshal(told, &v))
		require.True(t, len(v.Faults) > 0 || len(v.Marks) > 5 && len(v.Says) > 0, "%s", told)
	})
}
