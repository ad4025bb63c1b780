//go:build race

package main

// raced says that the race detector watches. The stories take ten times as long under it, one command after another.
const raced = true
