// Package profiles carries the thread tables and printer profiles that come with the program. Each file names where its
// figures are from.
package profiles

import "embed"

// Threads holds threads/*.toml, whose limits follow from formulas, threads/listed/*.toml and threads/uses/*.toml.
//
//go:embed threads/*.toml threads/listed/*.toml threads/uses/*.toml
var Threads embed.FS

// Printers holds printers/*.toml.
//
//go:embed printers/*.toml
var Printers embed.FS
