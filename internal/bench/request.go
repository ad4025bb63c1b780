package bench

// This file holds what the site is asked and what it answers, by whichever way both travel: net/http, or a page's worker.

import (
	"bytes"
	"context"
	"encoding/json"
	"maps"
	"mime"
	"net/url"
	"strings"
)

// Request is what the site is asked.
type Request struct {
	// Context ends when nobody waits for the answer any more.
	Context context.Context
	// Method is GET or POST, Path begins with a slash.
	Method, Path string
	Query        url.Values
	Body         []byte
}

// Answer is what the site says to it.
type Answer struct {
	// Status is one of those of HTTP (RFC 9110, section 15).
	Status int
	// Type is the media type of Body.
	Type string
	// File is the name to save it under; "" for what is shown.
	File string
	// Own are what goes with it under names of ours.
	Own  map[string]string
	Body []byte
}

// Head is what goes before the body, as HTTP has it.
func (a Answer) Head() map[string]string {
	head := map[string]string{}
	maps.Copy(head, a.Own)
	if a.Type != "" {
		head["Content-Type"] = a.Type
	}
	if a.File != "" {
		head["Content-Disposition"] = mime.FormatMediaType("attachment", map[string]string{"filename": a.File})
	}
	return head
}

// The statuses of answers.
const (
	okay          = 200
	noContent     = 204
	badRequest    = 400 // our page does not ask so
	notFound      = 404
	unprocessable = 422
	broken        = 500
)

// plainText is the media type of words.
const plainText = "text/plain; charset=utf-8"

// handler answers one kind of request.
type handler func(Request) Answer

// reply answers a request by its method and path.
func (s *site) reply(r Request) Answer {
	if do, known := s.routes()[r.Method+" "+r.Path]; known {
		return do(r)
	}
	return says(notFound, "there is nothing here")
}

// answer is v as JSON.
func answer(v any) Answer {
	var body bytes.Buffer
	enc := json.NewEncoder(&body)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return says(broken, err.Error())
	}
	return shown("application/json; charset=utf-8", body.Bytes())
}

// shown is an answer to be shown.
func shown(mediaType string, body []byte) Answer {
	return Answer{Status: okay, Type: mediaType, Body: body}
}

// says is an answer in words.
func says(status int, text string) Answer {
	return Answer{Status: status, Type: plainText, Body: []byte(text + "\n")}
}

// refuse is the answer that tells faults.
func refuse(faults []fault) Answer {
	var b strings.Builder
	for _, f := range faults {
		if f.Field != "" {
			b.WriteString(f.Field + ": ")
		}
		b.WriteString(f.Text + "\n")
	}
	return Answer{Status: unprocessable, Type: plainText, Body: []byte(b.String())}
}
