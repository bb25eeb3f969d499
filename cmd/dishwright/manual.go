package main

import (
	"embed"
	"fmt"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/manual"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// pages are the sources of the topics; manual/keys.md, which is among them, is made
// from the catalogue, as is the topic of that name.
//
//go:embed manual/*.md
var pages embed.FS

// topics are the names of all topics, in the order in which they are listed.
var topics = []string{"words", "check", "compare", "accuracy", "holding", "scrap", "setups", "programs", "forms", "covering", "prove", "sides", "fit", "readings", "everyday", "keys"}

// topicSource returns what a topic is made of; of keys its title alone.
func topicSource(name string) string {
	if name == "keys" {
		return "# keys: every key of a job file\n"
	}
	text, err := pages.ReadFile("manual/" + name + ".md")
	if err != nil {
		panic("a topic without its page: " + err.Error()) // a slip of ours, which a test finds
	}
	return string(text)
}

// topicText returns a topic as a terminal shows it.
func topicText(name string) string {
	text := manual.Topic(topicSource(name))
	if name == "keys" {
		text += "\n" + manual.Text(textWidth)
	}
	return text
}

func newManualCmd(a *app) *cobra.Command {
	var keys, page bool
	cmd := &cobra.Command{
		Use:   "manual [TOPIC]",
		Short: "Show a page of the manual, or list the topics",
		Long: `Show the page of the manual on a topic, as plain text of 80 columns. Without a topic,
list them. With --page write the man page, as man reads it; with --keys the reference
of all keys of a job file as Markdown.`,
		Example: `  dishwright manual
  dishwright manual check
  dishwright manual --page > dishwright.1; man ./dishwright.1`,
		Args: atMost(1, "topic"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if (keys || page) && len(args) > 0 || keys && page {
				return tell.Errorf("usage: "+cmd.UseLine(), "a topic, --page and --keys are one too many")
			}
			var err error
			switch {
			case keys:
				_, err = a.out.Write(manual.Keys())
			case page:
				_, err = a.out.Write(manual.Page(cmd.Root()))
			case len(args) == 1:
				return writeTopic(a, args[0])
			default:
				for _, name := range topics {
					fmt.Fprintf(a.text(), "  %-9s %s\n", name, manual.Title(topicSource(name)))
				}
				fmt.Fprintln(a.text(), "\ndishwright manual TOPIC shows one")
			}
			return err
		},
		ValidArgsFunction: completeOnce(func(string) []string { return topics }),
	}
	cmd.Flags().BoolVar(&keys, "keys", false, "the reference of all keys as Markdown instead")
	cmd.Flags().BoolVar(&page, "page", false, "the man page instead")
	return cmd
}

// writeTopic writes the page of a topic.
func writeTopic(a *app, name string) error {
	for _, known := range topics {
		if known == name {
			_, err := fmt.Fprint(a.text(), topicText(name))
			return err
		}
	}
	return tell.Errorf(strict.Suggest(name, topics, "the topics are"), "the manual has no topic %s", measure.Quote(name))
}
