package datafile

import (
	"archive/zip"
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const fractions = "part;inner\nReduktion;1½″\nweiß × 2;1 ¼\n"

// One list as several programs save it. The bytes were written out by hand: UTF-16 after RFC 2781, the fractions, the multiplication
// sign and ß of Windows-1252 after its table at the Unicode Consortium (½ 0xBD, ¼ 0xBC, × 0xD7, ß 0xDF, ” 0x94).
func TestEncodings(t *testing.T) {
	wide := func(text string, low int) string {
		var b strings.Builder
		for _, r := range "\ufeff" + text {
			pair := [2]byte{byte(r), byte(r >> 8)}
			b.WriteByte(pair[low])
			b.WriteByte(pair[1-low])
		}
		return b.String()
	}
	windows := strings.NewReplacer("½", "\xbd", "¼", "\xbc", "×", "\xd7", "ß", "\xdf", "″", "\x94").Replace(fractions)
	for name, c := range map[string]struct{ bytes, want string }{
		"UTF-8":                  {fractions, fractions},
		"UTF-8 with a mark":      {"\ufeff" + fractions, fractions},
		"UTF-16, low byte first": {wide(fractions, 0), fractions},
		"UTF-16, high first":     {wide(fractions, 1), fractions},
		"Windows-1252":           {windows, strings.ReplaceAll(fractions, "″", "”")},
		"nothing":                {"", ""},
	} {
		for _, piped := range []bool{false, true} {
			path := Stdin
			if !piped {
				path = write(t, c.bytes)
			}
			text, err := List(t.Context(), path, strings.NewReader(c.bytes), 999)
			require.NoError(t, err, name)
			assert.Equal(t, c.want, string(text), name)
		}
	}
	_, err := List(t.Context(), Stdin, strings.NewReader(fractions), 9)
	require.ErrorIs(t, err, ErrTooLarge)
}

// zipped is an archive as office programs write it, after ECMA-376 and OpenDocument 1.3: an ods begins with its media type.
func zipped(t *testing.T, files ...string) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for k := 0; k < len(files); k += 2 {
		w, err := z.CreateHeader(&zip.FileHeader{Name: files[k], Method: zip.Store})
		require.NoError(t, err)
		_, err = w.Write([]byte(files[k+1]))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.String()
}

func TestOtherFilesAreNamed(t *testing.T) {
	const old = "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
	for _, c := range []struct{ bytes, kind, do string }{
		{zipped(t, "[Content_Types].xml", "<Types/>", "xl/workbook.xml", "<workbook/>"), "xlsx", "save the sheet as CSV"},
		{zipped(t, "mimetype", "application/vnd.oasis.opendocument.spreadsheet", "content.xml", "<a/>"), "ods", "save the sheet as CSV"},
		{zipped(t, "[Content_Types].xml", "<Types/>", "word/document.xml", "<a/>"), "docx", "copy"},
		{zipped(t, "list.csv", "a,b"), "zip", "take the list out"},
		{old + "W\x00o\x00r\x00k\x00b\x00o\x00o\x00k\x00", "xls", "save the sheet as CSV"},
		{old + "W\x00o\x00r\x00d\x00", "office document", "copy"},
		{"%PDF-1.7\n", "PDF", "copy"},
		{"\n <!DOCTYPE html><table>", "HTML", "copy"},
		{"<HTML><table>", "HTML", "copy"},
		{"<?xml version='1.0'?><html>", "HTML", "copy"},
		{"\x89PNG\r\n\x1a\n", "PNG", "type"},
		{"a,b\n\x00\x01", "no text", "UTF-8"},
	} {
		path := filepath.Join(t.TempDir(), "list.csv")
		require.NoError(t, os.WriteFile(path, []byte(c.bytes), 0o600))
		_, err := List(t.Context(), path, nil, 9999)
		require.ErrorIs(t, err, ErrNotText, c.kind)
		assert.ErrorContains(t, err, c.kind)
		assert.ErrorContains(t, err, c.do)
		assert.ErrorContains(t, err, path)
	}
}

func FuzzList(f *testing.F) {
	for _, s := range []string{fractions, "\xff\xfea\x00", "\xfe\xff\xd8", "PK\x03\x04", "\xbd", "<html", "\ufeff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, bytes string) {
		text, err := List(t.Context(), Stdin, strings.NewReader(bytes), 4096)
		if err == nil && (!utf8.Valid(text) || strings.Contains(string(text), "\x00")) {
			t.Fatalf("%q gives %q", bytes, text)
		}
	})
}
