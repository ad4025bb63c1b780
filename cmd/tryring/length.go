package main

// This file holds a flag that takes a length.

import "tryring/internal/unit"

// lengthFlag is a flag for a length, nil until it is given.
type lengthFlag struct{ to **unit.Length }

func (f lengthFlag) String() string {
	if f.to == nil || *f.to == nil {
		return ""
	}
	return (*f.to).TextMM()
}

// Set reads a length as people write it; one below zero is judged where the length is used.
func (f lengthFlag) Set(text string) error {
	l, err := unit.ParseSigned(text)
	if err != nil {
		return err
	}
	*f.to = &l
	return nil
}

// Type is the word for the value in the help.
func (lengthFlag) Type() string { return "LENGTH" }
