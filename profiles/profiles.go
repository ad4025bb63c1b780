// Package profiles carries the thread tables and printer profiles that come with the program. Each file names where its
// figures are from.
package profiles

import "embed"

// Threads holds threads/*.toml.
//
//go:embed threads/*.toml
var Threads embed.FS

// Printers holds printers/*.toml.
//
//go:embed printers/*.toml
var Printers embed.FS
