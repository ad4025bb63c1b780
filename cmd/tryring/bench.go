package main

// This file holds `tryring bench`.

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/bench"
	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/printer"
)

// benchInfo is what scripts are told.
type benchInfo struct {
	Address string   `json:"address"`
	Network []string `json:"network,omitempty"`
	Caution []string `json:"caution"`
}

func newBench(opt *shared) *cobra.Command {
	var addr, drawer string
	var share, code, noOpen bool
	cmd := &cobra.Command{
		Use:   "bench",
		Short: "Open the bench page: the whole job on one local page, from readings to files",
		Long: `Serve the bench page on this machine: take readings and see which threads they could be, pick both threads, see the ring
drawn and turned as it will be printed, rank a parts list, and take the files. It needs no network and asks for none.
Ctrl-C stops it.

With --share a phone in the same network opens it too, by an address that is told with a key and as a code for its camera.
Both screens then have one job open. The key is another one at each start, and without it others read and change nothing;
what goes over the network is not encrypted, so share it in one that you trust. Where a phone gets no answer, a firewall on
this machine keeps the port shut.

` + check.Caution,
		Example: `  tryring bench
  tryring bench --share
  tryring bench --addr 127.0.0.1:9000`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			printers, err := opt.profiles()
			if err != nil {
				return err
			}
			c := bench.Config{
				Addr: addr, TakeAway: "out/tryring.html", Tables: opt.tables(), Printers: printers,
				Drawers: func() []string { return drawersOf(job.New(), drawer) },
			}
			own, err := opt.ownPrinters()
			if err != nil {
				opt.note(cmd, "%v; trials cannot be kept", err)
			}
			c.Shelf = printer.Folder(own)
			if err := c.Validate(); errors.Is(err, bench.ErrOthers) {
				return badInput(flagFault("addr", fmt.Errorf("%w; --share lets a phone in, and this then only picks the port", err)))
			} else if err != nil {
				return badInput(flagFault("addr", err))
			}
			if share {
				c.Key = rand.Text() // another one at each start
				if c.Networks, err = bench.Networks(); err != nil {
					return err
				}
			}
			to := cmd.OutOrStdout()
			err = bench.Serve(cmd.Context(), c, func(here string, others []string) error {
				if opt.json {
					return printJSON(to, benchInfo{here, others, []string{check.Caution}})
				}
				seen := onTerminal(to)
				text, err := benchTold(here, others, seen || code)
				if err == nil {
					_, err = io.WriteString(to, text)
				}
				if open := opener(runtime.GOOS, os.Getenv); err == nil && seen && !noOpen && open != nil {
					_ = exec.Command(open[0], append(open[1:], here)...).Start() // the address is told anyway
				}
				return err
			})
			if errors.Is(err, bench.ErrTaken) {
				return fmt.Errorf("%w; --addr 127.0.0.1:0 takes a free port", err)
			}
			return err
		},
	}
	cmd.Flags().StringVar(&addr, "addr", bench.DefaultAddr, "`HOST:PORT` of this machine to listen on; port 0 takes any free one")
	cmd.Flags().BoolVar(&share, "share", false, "let a phone in the same network in, by an address with a key")
	cmd.Flags().BoolVar(&code, "code", false, "print the code for the phone's camera even where output is no terminal")
	cmd.Flags().BoolVar(&noOpen, "no-open", false, "leave the browser closed")
	cmd.Flags().StringVar(&drawer, "drawer", "", "folder `DIR` of a drawer of gauges (default: all in out)")
	return cmd
}

// benchTold is what people are told of the addresses, with the code of the first of those for others where it is wanted.
func benchTold(here string, others []string, code bool) (string, error) {
	text := fmt.Sprintf("The bench is at %s (Ctrl-C stops it)\n", here)
	if len(others) > 0 {
		text += "On a phone in the same network: " + strings.Join(others, "\n  or ") + "\nWhoever has this address may read and change the job; at the next start it is another one.\n"
	}
	if len(others) == 0 || !code {
		return text, nil
	}
	squares, err := bench.Code(others[0])
	return text + "\n" + squares, err
}

// openers are the commands that open an address in the browser, by system.
var openers = map[string][]string{
	"windows": {"rundll32", "url.dll,FileProtocolHandler"}, "darwin": {"open"},
	"linux": {"setsid", "xdg-open"}, // Ctrl-C is for the bench alone
}

// opener is the command of a system that opens an address; nil where there is no screen to open it on.
func opener(system string, env func(string) string) []string {
	if env("SSH_CONNECTION") != "" || system == "linux" && env("DISPLAY")+env("WAYLAND_DISPLAY") == "" {
		return nil
	}
	return openers[system]
}
