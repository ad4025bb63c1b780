package whole

// This file holds which names files may have.

import (
	"regexp"
	"strings"

	"tryring/internal/fault"
)

var plainFileName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]*$`)

// mostFileName is the most letters of a file's name, with room for an ending on every system.
const mostFileName = 100

// deviceName is a name that stands for a device on Windows, whatever ending it has ("Naming Files, Paths, and Namespaces", its publisher's
// own description, from memory).
var deviceName = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com[0-9]|lpt[0-9])(\.|$)`)

// CheckFileName says whether every system can store a name, and no shell takes it apart. The error is a fault without a field.
func CheckFileName(name string) error {
	switch {
	case deviceName.MatchString(name):
		return fault.At("", name, "it cannot name files; some systems take it for a device")
	case len(name) > mostFileName || !plainFileName.MatchString(name) || strings.HasSuffix(name, "."):
		return fault.At("", name, "it cannot name files; use 1 to %d letters, digits, points, hyphens and underscores, a letter or digit first and no point last", mostFileName)
	}
	return nil
}

var notFileName = regexp.MustCompile(`[^A-Za-z0-9.]+`)

// FileName turns a designation into a part of a file name: "1 3/4-12 UN" into "1-3-4-12-UN".
func FileName(designation string) string {
	return strings.Trim(notFileName.ReplaceAllString(designation, "-"), "-.")
}
