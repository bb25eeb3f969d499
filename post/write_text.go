package post

import (
	"slices"
	"strings"
)

// CommentText makes text harmless inside a comment: printable ASCII without
// parentheses, and without semicolons, which some controllers take for the end of
// a line; other characters become a question mark, white space a space.
func CommentText(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '(' || r == '[' || r == '{':
			b.WriteByte('[')
		case r == ')' || r == ']' || r == '}':
			b.WriteByte(']')
		case r == ';':
			b.WriteByte(',')
		case r == '\n' || r == '\t' || r == '\r':
			b.WriteByte(' ')
		case r < ' ' || r > '~':
			b.WriteByte('?')
		default:
			b.WriteRune(r)
		}
	}
	return strings.TrimSpace(b.String())
}

// writeComment writes text as comments, each of a line.
func (o *writer) writeComment(text string) {
	for _, line := range breakText(CommentText(text), o.program.Machine.LongestLine-len("()")) {
		o.writeLine("(" + line + ")")
	}
}

// breakText breaks text into lines of at most width characters: a sentence a line, and
// of one that is longer a clause, where it fills a third of the line; else between words.
// No line begins like an instruction.
func breakText(text string, width int) (lines []string) {
	words, most := strings.Fields(text), width-len(apart)-1
	for len(words) > 0 {
		if w := words[0]; len(w) > most {
			words = append([]string{w[:most], w[most:]}, words[1:]...)
		}
		if instructs(words) {
			words = append([]string{apart}, words...)
		}
		n := lineOf(words, width)
		lines, words = append(lines, strings.Join(words[:n], " ")), words[n:]
	}
	return lines
}

// lineOf returns how many of the words make the next line.
func lineOf(words []string, width int) int {
	length, clause := -1, 0
	for i, word := range words {
		if length += 1 + len(word); length > width {
			if clause > 0 {
				return clause
			}
			return max(1, i)
		}
		switch word[len(word)-1] {
		case '.', '?', '!':
			return i + 1
		case ',', ':':
			if length >= width/3 {
				clause = i + 1
			}
		}
	}
	return len(words)
}

// instructions are the beginnings of comments that the reader takes for a statement
// about the program, or that a controller could take for a command: to show, print or
// log something, or to open a file.
var instructions = []string{"cutter:", "piece:", "set:", "setup:", "readings:", "note:", "msg,", "active,", "debug,", "print,", "log,", "logopen", "logappend", "logclose",
	"probeopen", "probeclose", "py,", "abort,"}

// apart sets off a line that begins like an instruction.
const apart = "-"

// instructs reports whether a comment of these words would be taken for an instruction.
func instructs(words []string) bool {
	begun := strings.ToLower(strings.Join(words[:min(len(words), longestInstruction)], ""))
	return slices.ContainsFunc(instructions, func(s string) bool { return strings.HasPrefix(begun, s) })
}

// longestInstruction is how many letters the longest has; each could be a word.
const longestInstruction = len("logappend")

// writeMessage writes a message to the operator.
func (o *writer) writeMessage(text string) {
	text = CommentText(text)
	o.told = append(o.told, text)
	o.writeLine("(MSG, " + text + ")")
}
