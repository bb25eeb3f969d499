package main

import (
	"encoding/json"
	"fmt"
	"os"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"
)

// jsonKeys is the command `jsonkeys FILE CHECK...`: each check is a path such as
// programs.0.cutter.name that must stand in the JSON of the file, alone or with
// =VALUE (the value as text), >NUMBER or <NUMBER.
func jsonKeys(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: jsonkeys FILE CHECK...")
	}
	var all any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &all))
	for _, check := range args[1:] {
		path, op, want := check, "", ""
		if i := strings.IndexAny(check, "=<>"); i >= 0 {
			path, op, want = check[:i], check[i:i+1], check[i+1:]
		}
		v := all
		for _, part := range strings.Split(path, ".") {
			ok := false
			switch at := v.(type) {
			case map[string]any:
				v, ok = at[part]
			case []any:
				n, err := strconv.Atoi(part)
				if ok = err == nil && n < len(at); ok {
					v = at[n]
				}
			}
			if !ok {
				ts.Fatalf("%s does not stand in %s", path, args[0])
			}
		}
		if !holds(ts, v, op, want) {
			ts.Fatalf("%s is %v, not %s%s", path, v, op, want)
		}
	}
}

// holds compares a value of JSON with a text or a number.
func holds(ts *testscript.TestScript, v any, op, want string) bool {
	switch op {
	case "":
		return true
	case "=":
		return fmt.Sprint(v) == want
	}
	n, ok := v.(float64)
	limit, err := strconv.ParseFloat(want, 64)
	ts.Check(err)
	return ok && (op == ">" && n > limit || op == "<" && n < limit)
}

// named is the command `named DIR FILE`: the folder holds just the programs that
// the JSON of the file names, each with the number of lines it says, the bench
// sheet, the list of what is done, and the list of the set.
func named(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: named DIR FILE")
	}
	var report struct {
		Sheet    string
		Order    string `json:"order_file"`
		Programs []struct {
			File  string
			Lines int
		}
	}
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[1])), &report))
	if len(report.Programs) == 0 {
		ts.Fatalf("no programs are named")
	}
	names := []string{args[0], ".dishwright-set", report.Sheet, report.Order}
	for _, p := range report.Programs {
		names = append(names, p.File)
		if n := strings.Count(ts.ReadFile(args[0]+"/"+p.File), "\n"); n != p.Lines {
			ts.Fatalf("%s has %d lines, not %d", p.File, n, p.Lines)
		}
	}
	only(ts, false, names)
}

// sparse is the command `sparse FILE BYTES`: it makes a file of that many zero
// bytes that takes no room.
func sparse(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: sparse FILE BYTES")
	}
	n, err := strconv.ParseInt(args[1], 10, 64)
	ts.Check(err)
	f, err := os.Create(ts.MkAbs(args[0]))
	ts.Check(err)
	ts.Check(f.Truncate(n))
	ts.Check(f.Close())
}

// narrow is the command `narrow FILE COLUMNS [ascii]`: no line is wider, and with
// ascii no character is other than printable ASCII.
func narrow(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: narrow FILE COLUMNS [ascii]")
	}
	most, err := strconv.Atoi(args[1])
	ts.Check(err)
	for i, line := range strings.Split(ts.ReadFile(args[0]), "\n") {
		if n := utf8.RuneCountInString(line); n > most {
			ts.Fatalf("line %d has %d columns: %s", i+1, n, line)
		}
		if len(args) > 2 && strings.ContainsFunc(line, func(r rune) bool { return r < ' ' || r > '~' }) {
			ts.Fatalf("line %d is not ASCII: %s", i+1, line)
		}
	}
}

// atMostLines is the command `atmost FILE LINES`: it fails where a file has more lines.
func atMostLines(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: atmost FILE LINES")
	}
	most, err := strconv.Atoi(args[1])
	ts.Check(err)
	if n := strings.Count(ts.ReadFile(args[0]), "\n"); n > most {
		ts.Fatalf("%s has %d lines", args[0], n)
	}
}
