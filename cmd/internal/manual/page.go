package manual

import (
	"regexp"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Page returns the man page of the program, as man(7) reads it: every command with its
// flags, the exit codes, and where the keys of a job file are told. It holds no date and
// no version.
func Page(root *cobra.Command) []byte {
	p := &roff{}
	p.line(`.TH DISHWRIGHT 1 "" "dishwright" "User Commands"`)
	p.head("NAME")
	p.text("dishwright - " + strings.ToLower(root.Short[:1]) + root.Short[1:])
	p.head("SYNOPSIS")
	p.line(".B dishwright")
	p.text("COMMAND [WORD...] [--FLAG...]")
	p.head("DESCRIPTION")
	p.paragraphs(root.Long)
	p.head("COMMANDS")
	p.commands(root)
	p.head("OPTIONS OF EVERY COMMAND")
	root.PersistentFlags().VisitAll(func(f *pflag.Flag) { p.flag(f) })
	p.head("THE JOB FILE")
	p.text("A job is a YAML file. Lengths are written with their unit: 25 ft, 6 1/2 in, 460 mm, 0.05 mm. dishwright explain lists its keys, dishwright explain KEY tells what one does, what it takes and what is taken where it is left out, and dishwright manual keys tells all of them. A machine profile is a YAML file too: dishwright machines new writes one, dishwright explain machine/KEY tells of its keys.")
	p.head("TOPICS")
	p.text("dishwright manual lists the topics of the manual, and dishwright manual TOPIC shows one.")
	p.head("EXIT STATUS")
	for _, row := range [...][2]string{{"0", "all went well"}, {"1", "a bound is broken or a proof fails"}, {"2", "the input or the call is wrong"}, {"130", "it was told to stop"}} {
		p.line(".TP")
		p.line(".B " + row[0])
		p.text(row[1])
	}
	p.head("ENVIRONMENT")
	p.line(".TP")
	p.line(".B NO_COLOR")
	p.text("set to anything, it turns colour off")
	p.head("SAFETY")
	p.text("A spinning cutter cuts hands, dust harms lungs, noise harms ears, chips can burn. Read SAFETY.md and the programs, run them in the air first, and follow the machine's own manual, local codes and licensed practice.")
	return []byte(p.String())
}

// commands writes what a command's own commands do, and theirs.
func (p *roff) commands(of *cobra.Command) {
	for _, c := range of.Commands() {
		if c.Hidden {
			continue
		}
		p.line(".SS " + quote(c.UseLine()))
		p.paragraphs(c.Long)
		c.LocalNonPersistentFlags().VisitAll(func(f *pflag.Flag) { p.flag(f) })
		if c.Example != "" {
			p.line(".PP")
			p.text("Examples:")
			p.example(c.Example)
		}
		p.commands(c)
	}
}

// roff writes lines for man(7).
type roff struct{ strings.Builder }

func (p *roff) line(s string) { p.WriteString(s + "\n") }

func (p *roff) head(s string) { p.line(".SH " + quote(s)) }

// text writes a running text.
func (p *roff) text(s string) { p.line(safe(strings.Join(strings.Fields(s), " "))) }

// shown are lines of a long text that stand as they are.
var shown = regexp.MustCompile(`^ {2,}\S`)

// paragraphs writes a command's long text: parts parted by empty lines, indented lines
// as they stand.
func (p *roff) paragraphs(s string) {
	for _, part := range strings.Split(s, "\n\n") {
		p.line(".PP")
		if shown.MatchString(part) {
			p.example(part)
			continue
		}
		p.text(part)
	}
}

// example writes lines as they stand.
func (p *roff) example(s string) {
	p.line(".nf")
	for _, l := range strings.Split(strings.Trim(s, "\n"), "\n") {
		p.line(safe(l))
	}
	p.line(".fi")
}

// flag writes a flag and what it does.
func (p *roff) flag(f *pflag.Flag) {
	if f.Hidden || f.Name == "help" || f.Name == "version" {
		return
	}
	name, usage := pflag.UnquoteUsage(f)
	s := "--" + f.Name
	if f.Shorthand != "" {
		s = "-" + f.Shorthand + ", " + s
	}
	if name != "" {
		s += " " + strings.ToUpper(name)
	}
	p.line(".TP")
	p.line(".B " + quote(s))
	p.text(usage)
}

// safe keeps a text from being taken for a request or an escape.
func safe(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`, "…", "...").Replace(s)
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	return s
}

// quote makes one word of a text.
func quote(s string) string { return `"` + strings.ReplaceAll(safe(s), `"`, `""`) + `"` }
