package main

// This file holds `tryring bench`.

import (
	"fmt"

	"github.com/spf13/cobra"

	"tryring/internal/bench"
	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/printer"
)

// benchInfo is what scripts are told.
type benchInfo struct {
	Address string   `json:"address"`
	Caution []string `json:"caution"`
}

func newBench(opt *shared) *cobra.Command {
	var addr, drawer string
	cmd := &cobra.Command{
		Use:   "bench",
		Short: "Open the bench page: the whole job on one local page, from readings to files",
		Long: `Serve the bench page on this machine: take readings and see which threads they could be, pick both threads, see the ring
drawn and turned as it will be printed, rank a parts list, and take the files. It needs no network and asks for none.
Ctrl-C stops it.

` + check.Caution,
		Example: `  tryring bench
  tryring bench --addr 127.0.0.1:9000`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			tables, printers, err := opt.known()
			if err != nil {
				return err
			}
			c := bench.Config{Addr: addr, Tables: tables, Printers: printers, Drawers: func() []string { return drawersOf(job.New(), drawer) }}
			own, err := opt.ownPrinters()
			if err != nil {
				opt.note(cmd, "%v; trials cannot be kept", err)
			}
			c.Shelf = printer.Folder(own)
			if err := c.Validate(); err != nil {
				return badInput(flagFault("addr", err))
			}
			return bench.Serve(cmd.Context(), c, func(address string) error {
				if opt.json {
					return printJSON(cmd.OutOrStdout(), benchInfo{address, []string{check.Caution}})
				}
				_, err := fmt.Fprintf(cmd.OutOrStdout(), "The bench is at %s (Ctrl-C stops it)\n", address)
				return err
			}, cmd.ErrOrStderr())
		},
	}
	cmd.Flags().StringVar(&addr, "addr", bench.DefaultAddr, "`HOST:PORT` to listen on; port 0 takes any free one")
	cmd.Flags().StringVar(&drawer, "drawer", "", "folder `DIR` of a drawer of gauges (default: all in out)")
	return cmd
}
