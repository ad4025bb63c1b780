package job

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/reading"
)

// words draws what a person may type, quotes, signs and umlauts among it.
func words(t *rapid.T, label string) string {
	return rapid.StringMatching(`[ -~äß″±\t]{0,12}`).Draw(t, label)
}

func drawRecord(t *rapid.T) reading.Record {
	kinds := reading.Kinds()
	return reading.Record{
		What: rapid.SampledFrom(kinds).Draw(t, "kind").Key, Text: words(t, "text"), Instrument: rapid.SampledFrom([]string{"", "caliper", "ruler"}).Draw(t, "instrument"),
		When: words(t, "when"), Note: words(t, "note"),
	}
}

// drawDocument draws a document of any entries.
func drawDocument(t *rapid.T) *Document {
	d := New()
	d.Use, d.Among, d.Name, d.Inner, d.Height = words(t, "use"), words(t, "among"), words(t, "name"), words(t, "inner"), words(t, "height")
	for range rapid.IntRange(0, 12).Draw(t, "entries") {
		add(t, d)
	}
	return d
}

// add adds an entry.
func add(t *rapid.T, d *Document) {
	side := rapid.SampledFrom([]string{Stays, Goes}).Draw(t, "side")
	part := func(label string) float64 { return rapid.Float64Range(0, 1).Draw(t, label) }
	switch rapid.IntRange(0, 7).Draw(t, "what") {
	case 0, 1:
		require.NoError(t, d.AddReadings(side, true, rapid.SliceOfN(rapid.Custom(drawRecord), 1, 3).Draw(t, "readings")...))
	case 2:
		d.Questions = append(d.Questions, Question{Side: side, Text: words(t, "text"), Answer: words(t, "answer")})
	case 3:
		require.NoError(t, d.Decide(Decision{Side: side, Designation: words(t, "thread"), Weight: part("chance"), Second: words(t, "second"), Sure: rapid.Bool().Draw(t, "sure")}))
	case 4:
		d.Parts = append(d.Parts, PartsList{File: words(t, "file"), Gave: rapid.SliceOfN(rapid.StringMatching(`[ -~]{0,5}`), 0, 3).Draw(t, "gave")})
	case 5:
		d.Files = append(d.Files, File{Name: words(t, "name"), Digest: words(t, "digest")})
	case 6:
		d.Tries = append(d.Tries, Try{Side: "inner", Ring: words(t, "ring"), MajorMM: part("major"), OffMM: -part("off"), Result: words(t, "result")})
	case 7:
		d.Notes = append(d.Notes, Note{Text: words(t, "text"), When: words(t, "when")})
	}
}

// numbers are those of the entries.
func (d *Document) numbers() []int {
	var out []int
	for _, e := range d.entries() {
		out = append(out, *e.id())
	}
	return out
}

// Whatever a document holds reads back from its file as it was, byte for byte when written again; and so it does from JSON, which
// the page carries.
func TestDocumentsReadBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := drawDocument(rt)
		written := text(rt, d)
		back := parse(rt, written)
		require.Equal(rt, string(d.plain()), string(back.plain()))
		require.Equal(rt, written, text(rt, back))

		carried, err := json.Marshal(back)
		require.NoError(rt, err)
		held, err := json.Marshal(d)
		require.NoError(rt, err)
		same := strings.NewReplacer(":[]", ":null", ":-0,", ":0,") // an empty list is none, and so is a zero
		require.Equal(rt, same.Replace(string(held)), same.Replace(string(carried)), "the writer and its own comparison may forget the same thing")
		var page Document
		require.NoError(rt, json.Unmarshal(carried, &page))
		require.Equal(rt, written, text(rt, &page))
	})
}

// decorated is text with comments, blank lines and spaces where a person may put them, and the comments.
func decorated(t *rapid.T, text string) (string, []string) {
	var out, comments []string
	comment := func() string {
		c := fmt.Sprintf("# remark %d %s", len(comments), rapid.StringMatching(`[ -~äß]{0,6}`).Draw(t, "comment"))
		comments = append(comments, strings.TrimRight(c, " "))
		return comments[len(comments)-1]
	}
	for _, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		switch rapid.IntRange(0, 5).Draw(t, "line") {
		case 0:
			out = append(out, comment())
		case 1:
			if line != "" && line[0] != '#' {
				line += "  " + comment()
			}
		case 2:
			out = append(out, "")
		case 3:
			if key, value, is := strings.Cut(line, " = "); is && line[0] != '#' {
				line = "  " + key + "=" + value
			}
		}
		out = append(out, line)
	}
	ending := rapid.SampledFrom([]string{"", "\n", "\n\n"}).Draw(t, "ending")
	newline := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "newline")
	mark := rapid.SampledFrom([]string{"", "\ufeff"}).Draw(t, "mark")
	return mark + strings.Join(out, newline) + strings.ReplaceAll(ending, "\n", newline), comments
}

// blocks takes text apart at the headers of its tables.
func blocks(text string) []string { return strings.Split(strings.TrimRight(text, "\r\n"), "\n[[") }

// However a person writes a file, and in whatever order entries are added, changed and taken back: what was not touched stays
// byte for byte, no comment is lost, no number is given twice, and the file reads back.
func TestEditsTouchTheirOwnLines(t *testing.T) {
	edits := 0
	rapid.Check(t, func(rt *rapid.T) {
		first, comments := decorated(rt, text(rt, drawDocument(rt)))
		d := parse(rt, first)
		require.Equal(rt, first, text(rt, d), "looking changes nothing")
		given := slices.Clone(d.numbers())
		for range rapid.IntRange(1, 4).Draw(rt, "edits") {
			before := text(rt, d)
			d = parse(rt, before)
			had := d.numbers()
			touched := 1
			switch rapid.IntRange(0, 3).Draw(rt, "edit") {
			case 0:
				add(rt, d)
				touched = 2 // a decision takes the one before it away
			case 1:
				if len(had) > 0 {
					require.NoError(rt, d.Drop(rapid.SampledFrom(had).Draw(rt, "drop")))
				}
			case 2:
				if len(d.Goes) > 0 {
					one := &d.Goes[rapid.IntRange(0, len(d.Goes)-1).Draw(rt, "change")]
					one.Note, one.Text = words(rt, "note"), words(rt, "text")
				}
			case 3:
				d.Label, d.Height = words(rt, "label"), words(rt, "height")
			}
			after := text(rt, d)
			d = parse(rt, after)
			for _, c := range comments {
				require.Contains(rt, after, c, "a comment is lost")
			}
			for _, n := range d.numbers() {
				if !slices.Contains(had, n) {
					require.NotContains(rt, given, n, "a number is given again")
					given = append(given, n)
				}
			}
			kept, gone := blocks(after), 0
			for _, b := range blocks(before)[1:] {
				if !slices.ContainsFunc(kept, func(k string) bool { return strings.TrimSpace(k) == strings.TrimSpace(b) }) {
					gone++
				}
			}
			// A table that is taken back leaves its comments to the one before it.
			require.LessOrEqual(rt, gone, 2*touched, "before:\n%s\nafter:\n%s", before, after)
			edits++
		}
	})
	assert.Greater(t, edits, 100)
}

// Numbers are those of the file, also where a person left them out, and also after one was taken back.
func TestNumbersOfTablesWithout(t *testing.T) {
	const unnumbered = "[[goes]]\noutside = ['41.2mm', '41.3mm']\n\n[[stays]]\nbore = '45mm'\n\n[[stays]]\nid = 1\ntpi = '14'\n\n[[notes]]\ntext = 'mine'\n"
	d := parse(t, unnumbered)
	assert.Equal(t, []int{4, 1, 2, 3, 5}, d.numbers(), "stays, goes, notes")
	require.NoError(t, d.Drop(4))
	d = parse(t, text(t, d))
	assert.Equal(t, []int{1, 2, 3, 5}, d.numbers(), "the others keep theirs")
	require.NoError(t, d.Drop(5))
	d = parse(t, text(t, d))
	d.Notes = append(d.Notes, Note{Text: "again"})
	d = parse(t, text(t, d))
	assert.Equal(t, []int{1, 2, 3, 6}, d.numbers(), "5 was taken back and is not given again")
	assert.Equal(t, []int{4, 5}, d.Dropped)
}

// Dropping what was added gives the file as it was, but for the number that is not given again.
func TestDropTakesBackWhatWasAdded(t *testing.T) {
	d := parse(t, old)
	d.Notes = append(d.Notes, Note{Text: "mine"})
	d = parse(t, text(t, d))
	require.NoError(t, d.Drop(7))
	assert.Equal(t, strings.Replace(old, "height = \"7/8 in\"\n", "height = \"7/8 in\"\ndropped = [7]\n", 1), text(t, d))
}

// Whatever reads is written as it was; with a note more it holds all that it held.
func FuzzParse(f *testing.F) {
	f.Add([]byte(old))
	f.Add([]byte("\ufeffname='a'\r\n[[goes]] # x\r\noutside=[\r\n'1', # one\r\n'2']"))
	f.Add([]byte("dropped=[1,3]\n[[notes]]\n[[stays]]\nworn=true\nid=9"))
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := Parse("tub.toml", text)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "tub.toml") {
				t.Errorf("Parse(%q) = %q, want the file's name first", text, err)
			}
			return
		}
		same, err := d.Text()
		if err != nil || string(same) != string(text) {
			t.Fatalf("Parse(%q) is written as %q, %v", text, same, err)
		}
		held := len(d.numbers())
		d.Notes = append(d.Notes, Note{Text: "mine"})
		more, err := d.Text()
		if err != nil {
			t.Fatalf("Parse(%q) takes no note: %v", text, err)
		}
		if back := parse(t, string(more)); len(back.numbers()) != held+1 || !strings.Contains(string(more), strings.TrimRight(string(text), "\r\n")) {
			t.Fatalf("Parse(%q) with a note is %q", text, more)
		}
	})
}
