package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cam/job/key"
	"dishwright/cmd/internal/manual"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

func newExplainCmd(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "explain [KEY]",
		Short: "Tell what a key of a job file does, its unit, and what is taken for it",
		Long: `Tell what a key of a job file means, what it takes and within which bounds, what is
taken where it is left out and why, and which forms have it. KEY is a key, such as
scallop, or the way to one, such as blank/thickness. Without one all of them.`,
		Example: `  dishwright explain scallop
  dishwright explain shelf/core`,
		Args: atMost(1, "key"),
		RunE: func(_ *cobra.Command, args []string) error {
			found := key.All()
			if len(args) == 1 {
				if found = manual.Lookup(args[0]); len(found) == 0 {
					return unknownKey(args[0])
				}
			}
			for i, k := range found {
				if i > 0 {
					fmt.Fprintln(a.out)
				}
				fmt.Fprint(a.out, manual.Explain(k, textWidth))
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
	for _, k := range key.All() {
		names = append(names, k.Path, k.Name())
	}
	hint := "dishwright explain lists all of them"
	if near, ok := strict.Nearest(word, names); ok {
		hint = "did you mean " + near + "?"
	} else if last := word[strings.LastIndexByte(word, '/')+1:]; last != word {
		if near, ok := strict.Nearest(last, names); ok {
			hint = "did you mean " + near + "?"
		}
	}
	return tell.Errorf(hint, "a job has no key %s", measure.Quote(word))
}

func newSchemaCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "Write the JSON Schema of a job file, for editors",
		Long: `Write the JSON Schema (draft 2020-12) of a job file. An editor that knows it
completes keys, shows what they do and marks what cannot be, as the file is written:
its manual says how a schema is given to a file. Whether the numbers make sense is for
check to say.`,
		Example: `  dishwright schema > dishwright.schema.json`,
		Args:    atMost(0, ""),
		RunE:    func(*cobra.Command, []string) error { return tell.JSON(a.out, manual.Schema()) },
	}
}

func newManualCmd(a *app) *cobra.Command {
	var keys bool
	cmd := &cobra.Command{
		Use:   "manual",
		Short: "Write the man page, or the reference of all keys",
		Long: `Write the man page to stdout, as man reads it, or with --keys the reference of all
keys of a job file as Markdown.`,
		Example: `  dishwright manual > dishwright.1
  dishwright manual --keys > keys.md`,
		Args: atMost(0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			text := manual.Keys()
			if !keys {
				text = manual.Page(cmd.Root())
			}
			_, err := a.out.Write(text)
			return err
		},
	}
	cmd.Flags().BoolVar(&keys, "keys", false, "the reference of all keys instead")
	return cmd
}
