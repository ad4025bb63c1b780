package trial

// This file takes a try of a job's ring in: from the file that the ring was written to, unless it is doubted.

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"tryring/internal/build"
	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/thread"
)

// mostRing is the most bytes of the JSON file of a ring.
const mostRing = 1 << 20

// LoadResult reads the JSON file that a ring was written to, and its digest (SHA-256, hexadecimal).
func LoadResult(ctx context.Context, path string) (r build.Result, digest string, err error) {
	text, err := datafile.Text(ctx, path, mostRing)
	if err != nil {
		return r, "", err
	}
	return ParseResult(path, text)
}

// ParseResult is LoadResult for text, the content of the file called name.
func ParseResult(name string, text []byte) (r build.Result, digest string, err error) {
	if err := json.Unmarshal(text, &r); err != nil || r.Inner.Designation == "" || r.Outer.Designation == "" || r.HeightMM <= 0 {
		return build.Result{}, "", fault.At("", name, "it is not the JSON file of a ring")
	}
	sum := sha256.Sum256(text)
	return r, hex.EncodeToString(sum[:]), nil
}

// RingFile is where the JSON file of the job's ring is written when nothing else is said.
func RingFile(r job.Ring, threads *thread.Tables) string {
	if r.Out == "" {
		r.Out = build.DefaultOut
	}
	if r.Name == "" {
		inner, _ := threads.Parse(r.Inner) // an unknown thread names no file, and no file is found then
		outer, _ := threads.Parse(r.Outer)
		r.Name = build.DefaultName(inner, outer)
	}
	return filepath.Join(r.Out, r.Name+".json")
}

// UsesOf are the threads of the job's ring, as far as they are decided, by the sides of a printer.
func UsesOf(d *job.Document, tables *thread.Tables) (Uses, error) {
	out := Uses{}
	for _, s := range []struct {
		side  printer.Side
		field string
		text  string
	}{{printer.Inside, "inner", d.Inner}, {printer.Outside, "outer", d.Outer}} {
		if s.text == "" {
			continue
		}
		t, err := tables.Parse(s.text)
		if err != nil {
			return nil, fault.In(s.field, err)
		}
		out[s.side] = t
	}
	return out, nil
}

// AddTry adds t, a try of the ring r, to the job d. One that is doubted, since r is not the ring of the job, or contradicts an
// earlier try, or says the same as one of that day, is added only anyway, and stays doubted; without that word it is a fault with
// the cause ErrDoubted.
func AddTry(d *job.Document, r build.Result, t job.Try, tables *thread.Tables, anyway bool) error {
	t.ID = 0
	other := ofOtherJob(r, t.Digest, d, tables)
	doubted := slices.Clone(other)
	clashes, err := Doubts(append(Of(JobSide(t.Side), d.Tries), t), tables)
	if err != nil {
		return err
	}
	for _, c := range clashes {
		if c.Concerns(t.ID) {
			doubted = append(doubted, c.Text)
		}
	}
	for _, old := range d.Tries {
		if old.Side == t.Side && old.Digest == t.Digest && old.Thread == t.Thread && old.Result == t.Result && old.When == t.When {
			doubted = append(doubted, fmt.Sprintf("try %d says the same of the same ring on the same day", old.ID))
		}
	}
	if len(doubted) > 0 && !anyway {
		return doubtFault(doubted)
	}
	t.Doubt = strings.Join(other, "; ")
	d.Tries = append(d.Tries, t)
	return nil
}

// ofOtherJob says why the ring r, whose JSON file has the given digest ("" for none), may not be that of the job d; nothing where
// it is.
func ofOtherJob(r build.Result, digest string, d *job.Document, tables *thread.Tables) []string {
	if r.Inner.Designation == "" || r.Outer.Designation == "" {
		return nil // a gauge is of no job
	}
	var out []string
	for _, side := range []struct{ name, asked, is string }{{innerSide, d.Inner, r.Inner.Designation}, {outerSide, d.Outer, r.Outer.Designation}} {
		asked, err := tables.Parse(side.asked)
		if err == nil && asked.Designation != side.is {
			out = append(out, fmt.Sprintf("the ring %s has %s as its %s thread, the job's ring %s", r.Name, side.is, side.name, asked.Designation))
		}
	}
	if d.Name != "" && r.Name != d.Name {
		out = append(out, fmt.Sprintf("the ring is called %s, the job's ring %s", r.Name, d.Name))
	}
	for _, f := range slices.Backward(d.Files) {
		if filepath.Base(f.Name) == r.Name+".json" {
			if digest != "" && f.Digest != digest {
				out = append(out, fmt.Sprintf("the file of the ring %s is not the one that was made for this job", r.Name))
			}
			break
		}
	}
	return out
}
