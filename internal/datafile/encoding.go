package datafile

// This file reads what people keep as text, whatever program wrote it, and says of other files what they are and what to do.

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Stdin is the path that stands for what is piped or pasted in.
const Stdin = "-"

// List reads a list that people keep or copied from a page, in UTF-8, in UTF-16 with its mark, or as Windows writes it; Stdin is read
// from in. At most the given number of bytes are read. Errors: those of Read, and ErrNotText with what the file is instead.
func List(ctx context.Context, path string, in io.Reader, most int) (text []byte, err error) {
	if path == Stdin {
		path = "the text that is read in"
		text, err = bounded(in, path, most)
	} else {
		text, err = Read(ctx, path, most)
	}
	if err != nil {
		return nil, err
	}
	if kind, do := other(text); kind != "" {
		return nil, refusal{path, fmt.Sprintf("is %s, and not text; %s", kind, do), ErrNotText}
	}
	from := encoding.Encoding(unicode.UTF8BOM)
	switch {
	case bytes.HasPrefix(text, []byte("\xff\xfe")), bytes.HasPrefix(text, []byte("\xfe\xff")):
		from = unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM)
	case !utf8.Valid(text):
		from = charmap.Windows1252
	}
	if text, err = from.NewDecoder().Bytes(text); err == nil && bytes.IndexByte(text, 0) >= 0 {
		err = refusal{path, "holds what is no text; save it as text in UTF-8", ErrNotText}
	}
	return text, err
}

// What to do with what is no text.
const (
	saveCSV  = "open it and save the sheet as CSV (UTF-8)"
	copyRows = "open it, mark the rows, copy them, and paste them into a text file"
	typeRows = "type the rows into a text file"
)

// kinds tell files by what they begin with or, for archives, by a name that they hold: the formats' own
// signatures.
var kinds = []struct{ begins, holds, kind, do string }{
	{"PK\x03\x04", "xl/workbook", "a spreadsheet (xlsx)", saveCSV},
	{"PK\x03\x04", "opendocument.spreadsheet", "a spreadsheet (ods)", saveCSV},
	{"PK\x03\x04", "word/document", "a text document (docx)", copyRows},
	{"PK\x03\x04", "opendocument.text", "a text document (odt)", copyRows},
	{"PK\x03\x04", "", "an archive (zip)", "take the list out of it"},
	{"\x1f\x8b", "", "a packed file (gzip)", "unpack it"},
	{"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "W\x00o\x00r\x00k\x00b\x00o\x00o\x00k\x00", "a spreadsheet (xls)", saveCSV},
	{"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "B\x00o\x00o\x00k\x00", "a spreadsheet (xls)", saveCSV},
	{"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "", "an office document of the old kind", copyRows},
	{"%PDF-", "", "a PDF", copyRows},
	{`{\rtf`, "", "a text document (rtf)", copyRows},
	{"<!doctype html", "", "a web page (HTML)", copyRows},
	{"<html", "", "a web page (HTML)", copyRows},
	{"<?xml", "<html", "a web page (HTML)", copyRows},
	{"<?xml", "", "an XML file", saveCSV},
	{"\x89PNG", "", "a picture (PNG)", typeRows},
	{"\xff\xd8\xff", "", "a picture (JPEG)", typeRows},
}

// other says what text is if it is none of a list, and what to do then; "" if it may be one.
func other(text []byte) (kind, do string) {
	start := bytes.TrimLeft(bytes.TrimPrefix(text, byteOrderMark), " \t\r\n")
	start = bytes.ToLower(start[:min(len(start), 16)])
	for _, k := range kinds {
		if bytes.HasPrefix(start, bytes.ToLower([]byte(k.begins))) && bytes.Contains(text, []byte(k.holds)) {
			return k.kind, k.do
		}
	}
	return "", ""
}
