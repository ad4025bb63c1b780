package main

// This file holds what every command tells people alike: the answer first, then the reasons, what is ok counted, every
// warning, the caution once, and the next step as a command to paste; all wrapped to the terminal.

import (
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"tryring/internal/check"
)

const (
	// plainWidth is the width of a screen that is no terminal, leastWidth the least that is wrapped to.
	plainWidth, leastWidth = 80, 30
	// indent is how far reasons stand in.
	indent = "  "
)

// screen is what one command tells a person, in the making.
type screen struct {
	text  strings.Builder
	width int
	// details asks for every figure and every check.
	details bool
	// colours says that the levels of checks may be coloured.
	colours bool
	// next is the next step where it is not the job's: what was made is to be looked at first.
	next string
}

// show prints info for scripts, or else what tell tells people, with the caution and the next step, a command to paste: that of
// the job where --job names one, or else the one that tell returns.
func (opt *shared) show(cmd *cobra.Command, info any, tell func(*screen) (next string)) error {
	to := cmd.OutOrStdout()
	if opt.json {
		return printJSON(to, info)
	}
	s := opt.screenOn(to)
	next := tell(s)
	if flag := cmd.Flags().Lookup("job"); s.next != "" {
		next = s.next
	} else if flag != nil && flag.Changed {
		next = opt.nextOf(cmd.Context(), flag.Value.String(), next)
	}
	s.gap()
	s.say("%s", check.Caution)
	if next != "" {
		s.text.WriteString("Next: " + next + "\n") // not wrapped, since it is pasted
	}
	_, err := io.WriteString(to, s.text.String())
	return err
}

// screenOn is an empty screen as wide as the terminal to, or as a plain one.
func (opt *shared) screenOn(to io.Writer) *screen {
	s := &screen{width: plainWidth, details: opt.details, colours: lively(to)}
	if f, ok := to.(*os.File); ok {
		if width, _, err := term.GetSize(int(f.Fd())); err == nil {
			s.width = max(width, leastWidth)
		}
	}
	return s
}

// shared tells the cautions beside the one that ends every text.
func (s *screen) shared(cautions []string) {
	for _, c := range cautions {
		if c != check.Caution {
			s.say("%s", c)
		}
	}
}

// say writes a sentence or more, from the left edge.
func (s *screen) say(format string, args ...any) { s.wrap("", "", fmt.Sprintf(format, args...)) }

// add writes a reason, a step in.
func (s *screen) add(format string, args ...any) {
	s.wrap(indent, indent, fmt.Sprintf(format, args...))
}

// gap leaves a line free, and no more than one.
func (s *screen) gap() {
	if !strings.HasSuffix(s.text.String(), "\n\n") {
		s.text.WriteString("\n")
	}
}

// wrap writes text behind lead, and the lines after the first one behind hang, which is as wide.
func (s *screen) wrap(lead, hang, text string) {
	for _, l := range wrapped(text, s.width-len(hang)) {
		s.text.WriteString(lead + l + "\n")
		lead = hang
	}
}

// table writes rows whose columns stand under each other, under a head that may be nil; a row of one cell goes on with the
// row before it. Where the columns do not fit the screen each row is told in words.
func (s *screen) table(head []string, rows ...[]string) {
	var widths []int
	for _, row := range append(rows, head) {
		for k, cell := range row {
			if k == len(widths) {
				widths = append(widths, 0)
			}
			if len(row) > 1 {
				widths[k] = max(widths[k], utf8.RuneCountInString(cell))
			}
		}
	}
	all := 0
	for _, w := range widths {
		all += len(indent) + w
	}
	if head != nil && all <= s.width {
		rows = append([][]string{head}, rows...)
	}
	for _, row := range rows {
		switch {
		case len(row) == 1:
			s.wrap(indent+indent, indent+indent, row[0])
		case all > s.width:
			s.add("%s: %s", row[0], inWords(head, row))
		default:
			line := ""
			for k, cell := range row {
				line += indent + cell + strings.Repeat(" ", widths[k]-utf8.RuneCountInString(cell))
			}
			s.text.WriteString(strings.TrimRight(line, " ") + "\n")
		}
	}
}

// inWords tells the cells of a row but the first, each behind its head.
func inWords(head, row []string) string {
	var cells []string
	for k, cell := range row[1:] {
		if head != nil {
			cell = head[k+1] + " " + cell
		}
		cells = append(cells, cell)
	}
	return strings.Join(cells, "; ")
}

// checks tells findings: every warning and stop; what is ok is counted, and with details listed. The caution among them is
// left to end.
func (s *screen) checks(findings []check.Finding) {
	counts, told := map[check.Level]int{}, map[string]bool{check.Caution: true}
	for _, f := range findings {
		if told[f.Text] { // of several parts
			continue
		}
		told[f.Text] = true
		counts[f.Level]++
		if s.details || f.Level == check.Warn || f.Level == check.Stop {
			hang := indent + strings.Repeat(" ", len(check.Warn)) + indent
			s.wrap(indent+s.level(f.Level)+hang[len(indent)+len(f.Level):], hang, f.Text)
		}
	}
	if s.details || counts[check.OK]+counts[check.Note] == 0 {
		return
	}
	counted := number(counts[check.OK], "check is ok", "checks are ok")
	if n := counts[check.Note]; n > 0 {
		counted += ", " + number(n, "has a note", "have notes")
	}
	s.say("%s; --details lists them.", counted)
}

// upper begins text with a capital.
func upper(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// number is n with the words for one or for several.
func number(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, several)
}

// command is a command of this program as a shell takes it.
func command(words ...string) string {
	out := []string{"tryring"}
	for _, w := range words {
		switch {
		case strings.ContainsAny(w, "\"$`\\!"):
			w = "'" + strings.ReplaceAll(w, "'", `'\''`) + "'"
		case !plainWord.MatchString(w):
			w = `"` + w + `"`
		}
		out = append(out, w)
	}
	return strings.Join(out, " ")
}

// plainWord is a word that no shell changes.
var plainWord = regexp.MustCompile(`^[\w.,:=/+@%-]+$`)

// level is the word for a level, coloured where the screen may have colour, by the numbers of ECMA-48 (SGR): green, yellow,
// red.
func (s *screen) level(level check.Level) string {
	if colour := map[check.Level]string{check.OK: "32", check.Warn: "33", check.Stop: "31"}[level]; s.colours && colour != "" {
		return "\x1b[" + colour + "m" + string(level) + "\x1b[0m"
	}
	return string(level)
}

// goesOn is what must stand on the line of the number before it: the fraction of "1 7/8", a unit.
var goesOn = regexp.MustCompile(`^(\d+/\d|(mm|cm3|in|tpi|degrees)\b|%)`)

// wrapped breaks text into lines of at most width letters, between words; a longer word stands alone.
func wrapped(text string, width int) []string {
	var words []string
	for _, w := range strings.Fields(text) {
		if n := len(words) - 1; n >= 0 && goesOn.MatchString(w) && unicode.IsDigit(rune(words[n][len(words[n])-1])) {
			words[n] += " " + w
			continue
		}
		words = append(words, w)
	}
	lines := []string{""}
	for _, w := range words {
		last := &lines[len(lines)-1]
		switch {
		case *last == "":
			*last = w
		case utf8.RuneCountInString(*last)+1+utf8.RuneCountInString(w) <= width:
			*last += " " + w
		default:
			lines = append(lines, w)
		}
	}
	return lines
}
