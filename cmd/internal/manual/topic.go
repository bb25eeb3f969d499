package manual

import "strings"

// Title returns what a topic is about: the rest of its first line, "# NAME: TITLE".
func Title(source string) string {
	first, _, _ := strings.Cut(source, "\n")
	_, title, _ := strings.Cut(first, ": ")
	return title
}

// Topic returns a topic as a terminal shows it. Its source is Markdown that is nearly
// plain: headings lose their signs, and blocks of output the fences and the comments
// by which tests make them again.
func Topic(source string) string {
	var b strings.Builder
	for _, line := range strings.SplitAfter(source, "\n") {
		switch {
		case strings.HasPrefix(line, "```"), strings.HasPrefix(line, "<!-- "):
		case strings.HasPrefix(line, "## "):
			b.WriteString(strings.ToUpper(line[3:]))
		case strings.HasPrefix(line, "# "):
			b.WriteString(line[2:])
		default:
			b.WriteString(line)
		}
	}
	return b.String()
}
