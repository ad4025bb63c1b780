package whole

// This file holds which names files may have.

import (
	"regexp"
	"strings"
)

var plainFileName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]*$`)

// mostFileName is the most letters of a file's name, with room for an ending on every system.
const mostFileName = 100

// GoodFileName says whether every system can store a name, and no shell takes it apart.
func GoodFileName(name string) bool {
	return len(name) <= mostFileName && plainFileName.MatchString(name)
}

var notFileName = regexp.MustCompile(`[^A-Za-z0-9.]+`)

// FileName turns a designation into a part of a file name: "1 3/4-12 UN" into "1-3-4-12-UN".
func FileName(designation string) string {
	return strings.Trim(notFileName.ReplaceAllString(designation, "-"), "-.")
}
