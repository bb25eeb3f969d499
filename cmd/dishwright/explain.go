package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cam/job"
	"dishwright/cmd/internal/manual"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

func newExplainCmd(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "explain [KEY]",
		Short: "Explain a key of a job or a profile: what it does, its default",
		Long: `Tell what a key of a job file or of a machine profile means, what it takes and within
which bounds, what is taken where it is left out and why, and which forms have it. KEY is
a key, such as scallop, or the way to one, such as blank/thickness; behind machine/ it is
one of a profile. Without one it lists the names of all keys; dishwright manual keys tells
everything of all of them.`,
		Example: `  dishwright explain scallop
  dishwright explain shelf/core
  dishwright explain machine/feed`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(manual.Lookup(strings.Join(args, " "))) > 0 { // a key of two words needs no quotes
				return nil
			}
			return atMost(1, "key")(cmd, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				fmt.Fprint(a.text(), manual.Index(a.text().width))
				fmt.Fprintln(a.text(), "\ndishwright explain KEY tells what one does; dishwright manual keys tells all")
				return nil
			}
			found := manual.Lookup(strings.Join(args, " "))
			if len(found) == 0 {
				return unknownKey(strings.Join(args, " "))
			}
			for i, k := range found {
				if i > 0 {
					fmt.Fprintln(a.text())
				}
				fmt.Fprint(a.text(), manual.Explain(k, a.text().width))
			}
			return nil
		},
		ValidArgsFunction: completeOnce(func(string) []string { return manual.Paths() }),
	}
	return cmd
}

// unknownKey is the error of a key that there is none of, with the nearest.
func unknownKey(word string) error {
	var names []string
	for _, path := range manual.Paths() {
		names = append(names, path, strings.TrimPrefix(path, manual.OfMachine), path[strings.LastIndexByte(path, '/')+1:])
	}
	hint := "dishwright explain lists all of them"
	if near, ok := strict.Nearest(word, names); ok {
		hint = "did you mean " + near + "?"
	} else if last := word[strings.LastIndexByte(word, '/')+1:]; last != word {
		if near, ok := strict.Nearest(last, names); ok {
			hint = "did you mean " + near + "?"
		}
	}
	return tell.Errorf(hint, "neither a job nor a machine profile has a key %s", measure.Quote(word))
}

func newSchemaCmd(a *app) *cobra.Command {
	sorts := []string{"job", "machine", "shop"}
	return &cobra.Command{
		Use:   "schema [FILE]",
		Short: "Write the JSON Schema of a job, machine or shop file, for editors",
		Long: `Write the JSON Schema (draft 2020-12) of a job file, or, where FILE is machine or
shop, of a machine profile or a shop file. An editor that knows it completes keys,
shows what they do and marks what cannot be, as the file is written: its manual says
how a schema is given to a file. Whether the numbers make sense is for check to say.`,
		Example: `  dishwright schema > job.schema.json
  dishwright schema machine > machine.schema.json
  dishwright schema shop > shop.schema.json`,
		Args: atMost(1, "file"),
		RunE: func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) == 0 || args[0] == sorts[0]:
				return tell.JSON(a.out, manual.Schema(job.Keys()))
			case args[0] == sorts[1]:
				return tell.JSON(a.out, manual.ProfileSchema())
			case args[0] == sorts[2]:
				return tell.JSON(a.out, manual.ShopSchema())
			}
			return tell.Errorf(strict.Suggest(args[0], sorts, "the sorts are"), "there is no sort of file %s", measure.Quote(args[0]))
		},
		ValidArgsFunction: completeOnce(func(string) []string { return sorts }),
	}
}
