//go:build js

package main

// This file runs the service in a worker of the page.

import (
	"context"
	"encoding/json"
	"errors"
	"net/url"
	"syscall/js"

	"tryring/internal/bench"
)

// main gives the worker `ask`, which answers by `answered`, tells of journals of trials by `kept`, and goes on for good.
func main() {
	worker := js.Global()
	journals := map[string]string{}
	err := json.Unmarshal([]byte(worker.Get("journals").String()), &journals)
	reply, _, wrong := service(journals, func(printer, text string) { worker.Call("kept", printer, text) })
	if err := errors.Join(err, wrong); err != nil {
		panic(err) // the page was made with these printers
	}
	worker.Set("ask", js.FuncOf(func(_ js.Value, asked []js.Value) any {
		r := bench.Request{Context: context.Background(), Method: asked[1].String(), Path: asked[2].String(), Body: make([]byte, asked[4].Length())}
		r.Query, _ = url.ParseQuery(asked[3].String()) // what can be read of it, as net/http has it
		js.CopyBytesToGo(r.Body, asked[4])
		go func() {
			a := reply(r)
			body := worker.Get("Uint8Array").New(len(a.Body))
			js.CopyBytesToJS(body, a.Body)
			head := map[string]any{}
			for name, text := range a.Head() {
				head[name] = text
			}
			worker.Call("answered", asked[0], a.Status, head, body)
		}()
		return nil
	}))
	worker.Call("ready")
	select {}
}
