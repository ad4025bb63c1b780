package main

// This file holds `tryring version`.

import (
	_ "embed"
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

// versionInfo is what the program knows of its own making.
type versionInfo struct {
	Version string `json:"version"`
	// Revision is the commit that the program was built from, "" when it was built outside a checkout.
	Revision string `json:"revision"`
	// Modified is true when the checkout held changes that were not committed.
	Modified bool   `json:"modified"`
	Go       string `json:"go"`
	Platform string `json:"platform"`
	// Licences are the notices of what is linked, where they are asked for.
	Licences string `json:"licences,omitempty"`
}

// licences are the notices of all that is linked; TestLicencesAreThoseOfWhatIsLinked makes them.
//
//go:embed licences.txt
var licences string

func newVersion(opt *shared) *cobra.Command {
	var notices bool
	cmd := &cobra.Command{
		Use:   "version",
		Short: "Say which tryring this is, for a note beside a printed ring",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			v := readVersion(debug.ReadBuildInfo())
			if notices {
				v.Licences = licences
			}
			if opt.json {
				return printJSON(cmd.OutOrStdout(), v)
			}
			_, err := fmt.Fprintln(cmd.OutOrStdout(), v)
			return err
		},
	}
	cmd.Flags().BoolVar(&notices, "licences", false, "print the licences of everything that this program is built of as well")
	return cmd
}

// readVersion takes version and revision from what the Go tools wrote into the program.
func readVersion(info *debug.BuildInfo, ok bool) versionInfo {
	v := versionInfo{Version: "unknown", Go: runtime.Version(), Platform: runtime.GOOS + "/" + runtime.GOARCH}
	if !ok {
		return v
	}
	if info.Main.Version != "" {
		v.Version = info.Main.Version
	}
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			v.Revision = s.Value
		case "vcs.modified":
			v.Modified = s.Value == "true"
		}
	}
	return v
}

// String is for people: a line, and the notices where they are asked for.
func (v versionInfo) String() string {
	revision := v.Revision
	if revision == "" {
		revision = "not known"
	}
	if v.Modified {
		revision += " with changes"
	}
	words := fmt.Sprintf("tryring %s (revision %s, %s, %s)", v.Version, revision, v.Go, v.Platform)
	if v.Licences != "" {
		words += "\n\n" + strings.TrimSpace(v.Licences)
	}
	return words
}
