package bench

import (
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/gauge"
	"tryring/internal/ring"
	"tryring/internal/thread"
)

// TestStandingLeadsThroughAJob follows the next steps of the page from nothing to the order, as a person presses them.
func TestStandingLeadsThroughAJob(t *testing.T) {
	handler := handlerOf(t)
	query := url.Values{}
	list := ""
	stand := func() standingView {
		t.Helper()
		return decoded[standingView](t, request("POST", handler, "/api/standing?"+query.Encode(), list))
	}
	press := func(v standingView) {
		t.Helper()
		asks := url.Values{"today": {"2026-11-27"}}
		for key, value := range query {
			asks[key] = value
		}
		for key, text := range v.Next.Do {
			asks.Set(key, text)
		}
		o := decoded[opened](t, request("GET", handler, "/api/job?"+asks.Encode(), ""))
		require.Empty(t, o.Faults)
		query, _ = url.ParseQuery(o.Query)
	}
	first := stand()
	require.NotNil(t, first.Next)
	assert.Equal(t, "Read it", first.Next.Button)
	assert.Equal(t, "stays.bore", first.Next.Focus)
	assert.Contains(t, first.Next.Fill, "stays.over")
	query.Set("stays.bore", "45.7")
	query.Set("stays.count", "15")
	query.Set("stays.over", "25.4")

	assert.Equal(t, "goes.outside", stand().Next.Focus)
	query.Set("goes.outside", "41.2")
	query.Set("goes.pitch", "16 tpi")
	for range 2 {
		v := stand()
		require.Equal(t, "Take it", v.Next.Button, v.Next.Text)
		press(v)
	}
	assert.Equal(t, "1 7/8-14 UNS", query.Get("outer"))
	assert.Equal(t, "1 5/8-16 UN", query.Get("inner"))

	v := stand()
	assert.Equal(t, "parts", v.Next.Focus)
	query.Set("list", "adapters.csv")
	list = adapters
	v = stand()
	assert.Empty(t, v.Contradictions)
	assert.Contains(t, v.Answer[0], "A joins both threads")
	assert.Equal(t, "To its files", v.Next.Button, "no money is spent before it was tried")
	assert.Nil(t, v.Order)

	// The ring is taken, printed, and tried on both sides; then, and not before, the page says what to order.
	taken := request("GET", handler, "/file/ring.3mf?"+query.Encode(), "")
	require.Equal(t, http.StatusOK, taken.Code)
	press(standingView{Next: &nextView{Do: map[string]string{"do": "made", "ring": taken.Header().Get(madeHeader)}}})
	for _, side := range []string{"outer", "inner"} {
		v = stand()
		assert.Equal(t, "title-"+side+".turns", v.Next.Focus)
		assert.Nil(t, v.Order)
		press(standingView{Next: &nextView{Do: map[string]string{"do": "try", "side": side, "result": "goes"}}})
	}
	v = stand()
	require.NotNil(t, v.Order, v.Next.Text)
	assert.Contains(t, v.Next.Text, "Order A")
	assert.Empty(t, v.Next.Button)
	assert.Len(t, v.Order.Names, 2)
	assert.NotEmpty(t, v.Order.Ask)
	assert.Empty(t, v.Order.Doubts)

	// The window that held the list is gone: that is said, and nothing ordered in silence.
	list = ""
	v = stand()
	require.NotEmpty(t, v.Contradictions)
	assert.Contains(t, v.Contradictions[0], "adapters.csv")
	assert.Nil(t, v.Order)

	d := parsed(t, saved(t, handler, query))
	require.Len(t, d.Parts, 1)
	assert.Equal(t, "adapters.csv", d.Parts[0].File)
	assert.Len(t, d.Decided, 2)
}

// TestStandingNamesWhatContradicts: a bore that was entered as an outside is named, with the way back.
func TestStandingNamesWhatContradicts(t *testing.T) {
	handler := handlerOf(t)
	query := brought(t, handler, "[[stays]]\nbore = '45.7'\n\n[[stays]]\noutside = '47.5'\n", "")
	v := decoded[standingView](t, request("POST", handler, "/api/standing?"+query.Encode(), ""))
	require.NotEmpty(t, v.Contradictions)
	assert.Equal(t, "Take it back", v.Next.Button)
	assert.Equal(t, map[string]string{"do": "drop", "id": "2"}, v.Next.Do)
	found := decoded[identified](t, request("GET", handler, "/api/identify?part=stays&"+query.Encode(), ""))
	require.Len(t, found.Readings, 2)
	require.Len(t, found.Faults, 2, "beside both")
	assert.Equal(t, "reading-1", found.Faults[1].Field)

	query.Set("unit", "feet")
	wrong := decoded[standingView](t, request("POST", handler, "/api/standing?"+query.Encode(), ""))
	assert.NotEmpty(t, wrong.Faults)
	assert.Equal(t, http.StatusMethodNotAllowed, request("GET", handler, "/api/standing?"+query.Encode(), "").Code)
}

// A gauge that lies in a drawer is the next step, and what it does is kept as a try of it, not of the ring.
func TestStandingNamesAGaugeOfTheDrawer(t *testing.T) {
	folder := t.TempDir()
	record, err := json.Marshal(gauge.DrawerResult{Gauges: []gauge.Result{{
		Name: "go-plug-1-7-8-14-UNS-2B", Label: "GO PLUG 1 7/8-14 UNS-2B", Designation: "1 7/8-14 UNS-2B", Kind: ring.PlugGauge, Limit: ring.Go,
		Wanted: thread.Diameters{Major: 47.625, Pitch: 46.446, Minor: 45.669}, ZMM: [2]float64{9.3, 25.6}, Decision: gauge.DecisionResult{UMM: 0.2},
	}}})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, gauge.DrawerRecord), record, 0o600))
	printers, tables := testThings(t)
	handler, err := New(Config{Addr: "127.0.0.1:8137", Tables: tables, Printers: printers, Drawers: func() []string { return []string{folder} }})
	require.NoError(t, err)
	query := brought(t, handler, "among = \"drain\"\n[[stays]]\nbore = \"45.9mm\"\n[[stays]]\ntpi = \"15±1.5\"\n[[goes]]\noutside = \"1.62in\"\n[[goes]]\ntpi = \"16\"\n", "mm")
	stand := func() standingView {
		return decoded[standingView](t, request("POST", handler, "/api/standing?"+query.Encode(), ""))
	}
	v := stand()
	require.Empty(t, v.Faults)
	require.NotNil(t, v.Next)
	assert.Contains(t, v.Next.Text, "GO PLUG 1 7/8-14 UNS-2B from the drawer")
	assert.Equal(t, "title-outer.turns", v.Next.Focus)
	leaf := decoded[standingView](t, request("POST", handlerOf(t), "/api/standing?"+query.Encode(), "")).Next
	assert.Contains(t, leaf.Text, "Print a leaf", "without a drawer")
	assert.Equal(t, []string{"Read it", "stays.leaf"}, []string{leaf.Button, leaf.Focus}, "what is seen on it is read")
	for key, text := range v.Next.Fill {
		query.Set(key, text)
	}
	assert.Contains(t, decoded[tryView](t, request("GET", handler, "/api/try?"+query.Encode(), "")).Ring, "go-plug-1-7-8-14-UNS-2B")
	o := decoded[opened](t, request("GET", handler, "/api/job?do=try&side=outer&result=goes&today=2026-11-27&"+query.Encode(), ""))
	require.Empty(t, o.Faults)
	query, err = url.ParseQuery(o.Query)
	require.NoError(t, err)
	assert.Empty(t, query.Get("gauge"), "it is tried once")
	d := parsed(t, saved(t, handler, query))
	require.Len(t, d.Tries, 1)
	assert.Equal(t, "go-plug-1-7-8-14-UNS-2B", d.Tries[0].Ring)
	assert.Equal(t, "Take it", stand().Next.Button)

	query.Set("gauge", "/etc/passwd")
	o = decoded[opened](t, request("GET", handler, "/api/job?do=try&side=outer&result=goes&"+query.Encode(), ""))
	require.NotEmpty(t, o.Faults, "nothing is read but drawers")
	assert.NotContains(t, o.Faults[0].Text, "passwd")
}
