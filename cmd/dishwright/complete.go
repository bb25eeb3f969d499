package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cam/job"
	"dishwright/cam/job/key"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/machines"
	"dishwright/samples"
)

func newCompletionCmd(a *app) *cobra.Command {
	shells := []string{"bash", "zsh", "fish"}
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "Write a shell completion script",
		Long: `Write a script with which bash, zsh or fish completes commands and flags, the names
of samples and machines, the keys of a job behind --set and explain, and the words
that they take. bash needs its usual package bash-completion for it.`,
		Example: `  dishwright completion zsh > "${fpath[1]}/_dishwright"
  dishwright completion fish > ~/.config/fish/completions/dishwright.fish
  source <(dishwright completion bash)`,
		Args: exactlyOne("shell"),
		RunE: func(cmd *cobra.Command, args []string) error {
			root := cmd.Root()
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(a.out, true)
			case "zsh":
				return root.GenZshCompletion(a.out)
			case "fish":
				return root.GenFishCompletion(a.out, true)
			}
			return tell.Errorf(strict.Suggest(args[0], shells, "the shells are"), "the shell %s is not known", measure.Quote(args[0]))
		},
		ValidArgsFunction: completeOnce(func(string) []string { return shells }),
	}
}

// completer is how a shell's words are completed.
type completer = func(cmd *cobra.Command, args []string, begun string) ([]string, cobra.ShellCompDirective)

// completeOnce completes the first word alone.
func completeOnce(words func(begun string) []string) completer {
	return func(_ *cobra.Command, args []string, begun string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return starting(words(begun), begun), cobra.ShellCompDirectiveNoFileComp
	}
}

// completeJob completes the name of a sample, or leaves it to the shell to complete a
// file's.
func completeJob(names func() []string) completer {
	return func(_ *cobra.Command, args []string, begun string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return starting(names(), begun), cobra.ShellCompDirectiveDefault
	}
}

// starting keeps the words that begin so.
func starting(words []string, begun string) []string {
	return slices.DeleteFunc(slices.Clone(words), func(w string) bool { return !strings.HasPrefix(w, begun) })
}

// completeSet completes KEY=VALUE: a key first, then the words that it takes.
func completeSet(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
	const stay = cobra.ShellCompDirectiveNoSpace | cobra.ShellCompDirectiveNoFileComp
	path, value, valued := strings.Cut(begun, "=")
	var list []string
	if !valued {
		for _, k := range job.Keys().All() {
			if !strings.ContainsAny(k.Path, "*#") {
				list = append(list, k.Path+"=")
			}
		}
		return starting(list, begun), stay
	}
	k, ok := job.Keys().Find(path)
	if !ok {
		return nil, stay
	}
	words := k.Words
	if k.Path == "machine" {
		words = machines.BuiltinNames()
	}
	for _, w := range starting(words, value) {
		list = append(list, path+"="+w)
	}
	return list, cobra.ShellCompDirectiveNoFileComp
}

// completions tells the commands what their words are.
func completions(root *cobra.Command) {
	cuts := func() []string { return except(samples.Names(), samples.Rims()) }
	words := map[string]completer{
		"new":      completeOnce(func(string) []string { return samples.Names() }),
		"check":    completeJob(samples.Names),
		"preview":  completeJob(samples.Names),
		"make":     completeJob(samples.Names),
		"scrap":    completeJob(cuts),
		"resume":   completeJob(samples.Names),
		"sheet":    completeJob(samples.Names),
		"compare":  completeJob(cuts),
		"rim":      completeJob(samples.Rims),
		"machines": completeOnce(func(string) []string { return machines.BuiltinNames() }),
		"sagitta":  completeOnce(func(string) []string { return nil }),
		"scallop":  completeOnce(func(string) []string { return nil }),
	}
	flags := map[string]completer{
		"set": completeSet,
		"job": func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return starting(samples.Names(), begun), cobra.ShellCompDirectiveDefault
		},
		"paper": func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return starting([]string{"a4", "letter"}, begun), cobra.ShellCompDirectiveNoFileComp
		},
		"back": func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return starting([]string{sides.BackUnsanded, sides.BackFinished}, begun), cobra.ShellCompDirectiveNoFileComp
		},
		"cutter": func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return starting([]string{"flat", "ball", "bull"}, begun), cobra.ShellCompDirectiveNoFileComp
		},
		"form": func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return starting(except(job.FormWords(), []string{key.Rim}), begun), cobra.ShellCompDirectiveNoFileComp
		},
		"machine": func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			return starting(machines.BuiltinNames(), begun), cobra.ShellCompDirectiveDefault
		},
	}
	for _, c := range root.Commands() {
		if f, ok := words[c.Name()]; ok {
			c.ValidArgsFunction = f
		}
		for _, name := range [...]string{"set", "job", "paper", "back", "form", "machine"} {
			if c.Flags().Lookup(name) != nil {
				if err := c.RegisterFlagCompletionFunc(name, flags[name]); err != nil {
					panic(fmt.Sprintf("a flag's words are told twice: %v", err)) // a slip of ours
				}
			}
		}
	}
}

// except returns the names but for those left out.
func except(names, out []string) []string {
	return slices.DeleteFunc(slices.Clone(names), func(n string) bool { return slices.Contains(out, n) })
}
