//go:build js

package main

// This file runs the service in a worker of the page.

import (
	"context"
	"net/url"
	"syscall/js"

	"tryring/internal/bench"
)

// main gives the worker `ask`, which answers by `answered`, tells of journals of trials by `kept`, and goes on for good.
func main() {
	worker := js.Global()
	journals := map[string][]byte{}
	for kept, i := worker.Get("journals"), 0; i < kept.Length(); i++ {
		journals[kept.Index(i).Index(0).String()] = []byte(kept.Index(i).Index(1).String())
	}
	reply, _, err := service(journals, func(printer string, text []byte) { worker.Call("kept", printer, string(text)) })
	if err != nil {
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
