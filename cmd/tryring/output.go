package main

// This file holds how results are printed: JSON, and whether a terminal may be given colour.

import (
	"encoding/json"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"
	"golang.org/x/term"
)

// streamed is what writes itself as one JSON object, since it may be long.
type streamed interface{ writeJSON(w io.Writer) error }

// printJSON writes v as one JSON object, indented where it is not streamed.
func printJSON(w io.Writer, v any) error {
	if long, ok := v.(streamed); ok {
		return long.writeJSON(w)
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

// note tells people on stderr what they should know beside the answer; scripts find it in the answer.
func (opt *shared) note(cmd *cobra.Command, format string, args ...any) {
	if !opt.json {
		fmt.Fprintf(cmd.ErrOrStderr(), "tryring: "+format+"\n", args...)
	}
}

// lively reports whether colour and progress bars may be shown on w: only on a terminal, and never when
// NO_COLOR is set to anything.
func lively(w io.Writer) bool { return os.Getenv("NO_COLOR") == "" && onTerminal(w) }

// onTerminal reports whether a person may be looking at w.
func onTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
