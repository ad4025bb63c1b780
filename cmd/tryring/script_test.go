package main

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"

	"tryring/internal/check"
)

// TestScripts plays the stories in testdata, which are the contract of the commands: each a folder of its own, in which
// testdata/ is the project's. Beside the usual words a script has:
//
//	exits CODE COMMAND …     runs a command that ends with this code
//	answers [list]           the last stdout keeps the rules for every text; a list that was asked for may be long
//	json FILE PATH VALUE     what stands there in FILE (or stdout), and with a fourth word how near a number must be
//	lay RING.json FILE LAYER GROWN  writes G-code with one wall of each thread of a ring, its outlines grown, mm
//	jsonkeys FILE PATH …     all these keys stand in FILE (or stdout); "parts.0.ask" is the first part's
func TestScripts(t *testing.T) {
	unraced(t)
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(env *testscript.Env) error {
			env.Setenv("HOME", env.WorkDir)
			for _, name := range settingsFrom {
				env.Setenv(name, filepath.Join(env.WorkDir, "settings"))
			}
			return os.Symlink(filepath.Join(root, "testdata"), filepath.Join(env.WorkDir, "testdata"))
		},
		Condition: func(name string) (bool, error) {
			if name != "tmpfs" {
				return false, errors.New("there is no condition " + name)
			}
			return os.Geteuid() == 0 && exec.Command("unshare", "--mount", "true").Run() == nil, nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits": exits, "answers": answers, "json": jsonValue, "jsonkeys": jsonKeys, "lay": lay,
		},
	})
}

func exits(ts *testscript.TestScript, _ bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var ended *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &ended) {
		got = ended.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("%s ended with %d, want %d\n%s%s", strings.Join(args[1:], " "), got, want, ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
}

// mostLines is how many lines the text of a command has at most, but for warnings and lists that were asked for.
const mostLines = 24

func answers(ts *testscript.TestScript, _ bool, args []string) {
	text := ts.ReadFile("stdout")
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	last := lines[len(lines)-1]
	if !strings.HasPrefix(last, "Next: tryring ") {
		ts.Fatalf("the last line is no next step: %q", last)
	}
	warned := strings.Contains(text, "\n  warn  ") || strings.Contains(text, "\n  stop  ")
	if len(lines) > mostLines && len(args) == 0 && !warned {
		ts.Fatalf("%d lines", len(lines))
	}
	for _, l := range lines[:len(lines)-1] {
		if utf8.RuneCountInString(l) > plainWidth && strings.Contains(strings.TrimSpace(l), " ") {
			ts.Fatalf("a line is wider than %d: %q", plainWidth, l)
		}
	}
	if n := strings.Count(strings.Join(strings.Fields(text), " "), check.Caution); n != 1 {
		ts.Fatalf("the caution stands there %d times", n)
	}
	if strings.Contains(text, "\x1b") {
		ts.Fatalf("colour where no terminal is")
	}
}

// found returns what stands at path in a JSON file.
func found(ts *testscript.TestScript, file, path string) (any, bool) {
	var at any
	if err := json.Unmarshal([]byte(ts.ReadFile(file)), &at); err != nil {
		ts.Fatalf("%s is not one JSON value: %v", file, err)
	}
	for _, key := range strings.Split(path, ".") {
		switch in := at.(type) {
		case map[string]any:
			value, has := in[key]
			if !has {
				return nil, false
			}
			at = value
		case []any:
			if key == "len" {
				at = float64(len(in))
				continue
			}
			i, err := strconv.Atoi(key)
			if err != nil || i >= len(in) {
				return nil, false
			}
			at = in[i]
		default:
			return nil, false
		}
	}
	return at, true
}

func jsonKeys(ts *testscript.TestScript, neg bool, args []string) {
	for _, path := range args[1:] {
		if _, has := found(ts, args[0], path); has == neg {
			ts.Fatalf("%s: key %s: there %v", args[0], path, has)
		}
	}
}

func jsonValue(ts *testscript.TestScript, neg bool, args []string) {
	value, has := found(ts, args[0], args[1])
	if !has {
		ts.Fatalf("%s has no %s", args[0], args[1])
	}
	text, is := value.(string)
	if !is {
		written, err := json.Marshal(value)
		ts.Check(err)
		text = string(written)
	}
	same := text == args[2]
	if number, is := value.(float64); is && len(args) == 4 {
		want, err := strconv.ParseFloat(args[2], 64)
		ts.Check(err)
		near, err := strconv.ParseFloat(args[3], 64)
		ts.Check(err)
		same = math.Abs(number-want) <= near
	}
	if same == neg {
		ts.Fatalf("%s: %s is %s, want %s", args[0], args[1], text, strings.Join(args[2:], " ± "))
	}
}
