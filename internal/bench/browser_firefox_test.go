//go:build browser

package bench

// This file opens the page as one file in another browser, the Firefox of the system, through the plain protocol that it has for tests
// (Marionette: "LENGTH:[0, number, command, parameters]", and back "LENGTH:[1, number, error, result]").

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// firefox is a running one.
type firefox struct {
	t    *testing.T
	line net.Conn
	from *bufio.Reader
}

// openFirefox starts it without a network and with a profile of its own; what it saves comes to folder.
func openFirefox(t *testing.T, folder string) firefox {
	t.Helper()
	profile := t.TempDir()
	settings := fmt.Sprintf("user_pref('marionette.port', 0);\nuser_pref('browser.download.folderList', 2);\nuser_pref('browser.download.dir', %q);\nuser_pref('browser.download.always_ask_before_handling_new_types', false);\n", folder)
	require.NoError(t, os.WriteFile(filepath.Join(profile, "user.js"), []byte(settings), 0o600))
	cmd := exec.Command("firefox-esr", "--headless", "--marionette", "--offline", "--profile", profile, "about:blank")
	cmd.Env = append(os.Environ(), "HOME="+profile)
	require.NoError(t, cmd.Start(), "install the firefox-esr package")
	t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	port := await(t, func() string {
		text, _ := os.ReadFile(filepath.Join(profile, "MarionetteActivePort"))
		return string(text)
	})
	line, err := net.Dial("tcp", "127.0.0.1:"+port)
	require.NoError(t, err)
	t.Cleanup(func() { _ = line.Close() })
	f := firefox{t, line, bufio.NewReader(line)}
	f.hear() // its greeting
	f.ask("WebDriver:NewSession", map[string]any{})
	return f
}

// await waits until there is something to find.
func await(t *testing.T, find func() string) string {
	t.Helper()
	for until := time.Now().Add(enough); time.Now().Before(until); time.Sleep(50 * time.Millisecond) {
		if found := find(); found != "" {
			return found
		}
	}
	t.Fatal("it never came")
	return ""
}

func (f firefox) hear() (message []byte) {
	f.t.Helper()
	var size int
	_, err := fmt.Fscanf(f.from, "%d:", &size)
	require.NoError(f.t, err)
	message = make([]byte, size)
	_, err = io.ReadFull(f.from, message)
	require.NoError(f.t, err)
	return message
}

// ask has a command done and returns its value.
func (f firefox) ask(command string, with map[string]any) any {
	f.t.Helper()
	message, err := json.Marshal([]any{0, 1, command, with})
	require.NoError(f.t, err)
	_, err = fmt.Fprintf(f.line, "%d:%s", len(message), message)
	require.NoError(f.t, err)
	var told [4]any
	require.NoError(f.t, json.Unmarshal(f.hear(), &told))
	require.Nil(f.t, told[2], command)
	result, _ := told[3].(map[string]any)
	return result["value"]
}

// value is what a script returns, as text.
func (f firefox) value(script string) string {
	f.t.Helper()
	text, _ := f.ask("WebDriver:ExecuteScript", map[string]any{"script": "return String(" + script + ")", "args": []any{}}).(string)
	return text
}

func (f firefox) until(script string) {
	f.t.Helper()
	await(f.t, func() string { return strings.TrimPrefix(f.value(script), "false") })
}

// TestBrowserAloneInFirefox makes a ring, which is the same to the last bit, and goes on with the job.
func TestBrowserAloneInFirefox(t *testing.T) {
	folder := t.TempDir()
	f, page := openFirefox(t, folder), alonePath(t)
	f.ask("WebDriver:Navigate", map[string]any{"url": "file://" + page + "?" + smallRing})
	f.until("document.getElementById('look-state').textContent === 'IN M20x1.5 OUT M30x2'")
	query := f.value("location.search")
	assert.Contains(t, query, "M30x2")
	f.value("document.querySelector('a[data-file=\"ring.stl\"]').click()")
	want := request("GET", handlerOf(t), "/file/ring.stl"+query, "").Body.Bytes()
	got := await(t, func() string {
		data, _ := os.ReadFile(filepath.Join(folder, "in-M20x1.5-out-M30x2.stl"))
		return string(data[:len(data)/len(want)*len(want)]) // once it is whole
	})
	assert.True(t, string(want) == got)

	f.ask("WebDriver:Navigate", map[string]any{"url": "about:blank"})
	f.ask("WebDriver:Navigate", map[string]any{"url": "file://" + page})
	f.until("document.getElementById('look-state').textContent === 'IN M20x1.5 OUT M30x2'")
}
