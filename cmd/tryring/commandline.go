package main

// This file judges a command line as it was typed: flags and arguments that cannot be, and what was probably meant.

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/agnivade/levenshtein"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tryring/internal/fault"
)

// flagError names a mistaken flag, what was read and what would be right.
func flagError(cmd *cobra.Command, err error) error {
	var missing *pflag.NotExistError
	var valueless *pflag.ValueRequiredError
	var invalid *pflag.InvalidValueError
	switch {
	case errors.As(err, &missing):
		var names []string
		cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, "--"+f.Name) })
		written := "--" + missing.GetSpecifiedName()
		err = fault.At("", written, "%s has no such flag%s; %s --help lists them", cmd.CommandPath(), didYouMean(written, names), cmd.CommandPath())
	case errors.As(err, &valueless):
		err = fault.At(fieldOf(valueless.GetSpecifiedName()), "", "its value is missing")
	case errors.As(err, &invalid):
		want := errors.Unwrap(invalid)
		var number *strconv.NumError
		if errors.As(want, &number) {
			want = errors.New("it is a whole number")
			if invalid.GetFlag().Value.Type() == "bool" {
				want = errors.New("it is true or false, and may be left out")
			}
		}
		err = fault.Fault{Field: fieldOf(invalid.GetFlag().Name), Read: invalid.GetValue(), Want: want.Error(), Cause: want}
	}
	return badInput(err)
}

// errTwice is the fault of a flag that stands for one value and is given again.
var errTwice = errors.New("it is given twice; give it once")

// once is a flag's value that is set one time only.
type once struct {
	pflag.Value
	set bool
}

func (o *once) Set(text string) error {
	if o.set {
		return errTwice
	}
	o.set = true
	return o.Value.Set(text)
}

// onlyOnce lets no flag of cmd and its commands be given twice but those that list values.
func onlyOnce(cmd *cobra.Command) {
	wrap := func(f *pflag.Flag) {
		if _, list := f.Value.(pflag.SliceValue); !list {
			f.Value = &once{Value: f.Value}
		}
	}
	cmd.Flags().VisitAll(wrap)
	cmd.PersistentFlags().VisitAll(wrap)
	for _, c := range cmd.Commands() {
		onlyOnce(c)
	}
}

// fractionFirst and wholeOnly are the two words that a shell makes of 1 7/8-14 without quotes.
var (
	fractionFirst = regexp.MustCompile(`^\d+/\d`)
	wholeOnly     = regexp.MustCompile(`^(?:(--?[a-z-]+)=)?(\d+)$`)
)

// unquoted reports a number with a fraction that stands without quotes behind a flag, where the shell takes it apart.
func unquoted(args []string) error {
	for i := 1; i < len(args); i++ {
		whole := wholeOnly.FindStringSubmatch(args[i-1])
		if whole == nil || !fractionFirst.MatchString(args[i]) {
			continue
		}
		flag := whole[1]
		if flag == "" && i > 1 && strings.HasPrefix(args[i-2], "-") {
			flag = args[i-2]
		}
		if flag == "" && args[0] == "threads" {
			continue // it takes all its words together
		}
		read := whole[2] + " " + args[i]
		return badInput(fault.At(fieldOf(strings.TrimLeft(flag, "-")), read, "a shell takes this for two words; put quotes around it: %s", strings.TrimSpace(flag+` "`+read+`"`)))
	}
	return nil
}

// argumentsAreInput makes a wrong number of arguments, to any command, a fault of the input.
func argumentsAreInput(cmd *cobra.Command) {
	if check := cmd.Args; check != nil {
		cmd.Args = func(cmd *cobra.Command, given []string) error {
			err := check(cmd, given)
			var known fault.Fault
			if err != nil && !errors.As(err, &known) {
				parent, _, _ := strings.Cut(cmd.CommandPath(), " "+cmd.Name())
				want := fmt.Sprintf("write %s %s", parent, cmd.Use)
				if cmd.Use == cmd.Name() {
					want = "no option before it takes a word, or it is joined to that by ="
				}
				err = fault.At("", strings.Join(given, " "), "%s; %s --help tells what it takes", want, cmd.CommandPath())
			}
			return badInput(err)
		}
	}
	for _, c := range cmd.Commands() {
		argumentsAreInput(c)
	}
}

// unknownCommand reports a word that is no command of cmd.
func unknownCommand(cmd *cobra.Command, word string) error {
	return fault.At("", word, "there is no such command%s; tryring --help lists the commands", didYouMean(word, commandNames(cmd)))
}

// commandNames lists the commands that a person can call.
func commandNames(cmd *cobra.Command) []string {
	var names []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return names
}

// maxTypos is how many letters may differ for a name to be offered instead: two typing mistakes.
const maxTypos = 2

// didYouMean returns " (did you mean x?)" for the known names nearest to what was written, or nothing.
func didYouMean(written string, known []string) string {
	nearest := maxTypos
	var meant []string
	for _, name := range known {
		switch d := levenshtein.ComputeDistance(strings.ToLower(written), name); {
		case d < nearest:
			nearest, meant = d, []string{name}
		case d == nearest:
			meant = append(meant, name)
		}
	}
	if len(meant) == 0 {
		return ""
	}
	slices.Sort(meant)
	return fmt.Sprintf(" (did you mean %s?)", strings.Join(meant, " or "))
}
