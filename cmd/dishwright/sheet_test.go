package main

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/samples"
)

// mayHold is which elements stand in a sheet, and in which others (after the content
// model of the HTML standard, as far as it is used; the drawings are SVG).
var mayHold = map[string]string{
	"html": "", "head": "html", "meta": "head", "title": "head svg", "style": "head", "body": "html", "main": "body", "section": "main", "header": "section",
	"h1": "header", "p": "header section div", "h2": "section", "b": "p li", "h3": "section div", "dl": "section div", "div": "dl section div", "dt": "div", "dd": "div",
	"figure": "section div", "figcaption": "figure", "svg": "figure", "table": "section div", "caption": "table", "thead": "table", "tbody": "table", "tr": "thead tbody", "th": "tr", "td": "tr",
	"ul": "section div", "ol": "section div", "li": "ul ol",
	"desc": "svg", "g": "svg", "path": "g", "circle": "g", "text": "g",
}

// mayHave are the attributes of a sheet's elements.
const mayHave = " lang charset name content dir id class aria-labelledby scope xmlns viewBox role transform fill stroke stroke-width stroke-linejoin stroke-linecap stroke-dasharray font-family font-size text-anchor d x y cx cy r "

// wellFormed sees that a page is whole HTML that reads as XML too: every element
// closed, in a place where it may stand, with known attributes, every id once and
// every reference to one met, and nothing that runs or is fetched.
func wellFormed(t require.TestingT, page []byte) {
	require.True(t, bytes.HasPrefix(page, []byte("<!doctype html>\n<html lang=\"en\">")))
	var stack []string
	ids, wanted := map[string]bool{}, map[string]bool{}
	seen := map[string]int{}
	d := xml.NewDecoder(bytes.NewReader(page))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			name := e.Name.Local
			holders, known := mayHold[name]
			require.True(t, known, "<%s> has no business in a sheet", name)
			if len(stack) == 0 {
				require.Equal(t, "html", name)
			} else {
				require.Contains(t, strings.Fields(holders), stack[len(stack)-1], "<%s> in <%s>", name, stack[len(stack)-1])
			}
			seen[name]++
			stack = append(stack, name)
			for _, a := range e.Attr {
				require.Contains(t, mayHave, " "+a.Name.Local+" ", "<%s %s>", name, a.Name.Local)
				switch a.Name.Local {
				case "id":
					require.False(t, ids[a.Value], "the id %s stands twice", a.Value)
					ids[a.Value] = true
				case "aria-labelledby":
					for _, id := range strings.Fields(a.Value) {
						wanted[id] = true
					}
				}
				require.NotContains(t, strings.ToLower(a.Value), "javascript:")
			}
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.Comment:
			require.Fail(t, "a comment in a sheet")
		}
	}
	require.Empty(t, stack)
	for id := range wanted {
		require.True(t, ids[id], "nothing has the id %s", id)
	}
	require.Equal(t, 1, seen["h1"])
	require.NotContains(t, string(page), "url(")
	require.NotContains(t, string(page), "@import")
}

// whole is the command `whole FILE...`: the files are bench sheets, whole and not too
// large.
func whole(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) == 0 {
		ts.Fatalf("usage: whole FILE...")
	}
	for _, name := range args {
		page := ts.ReadFile(name)
		wellFormed(scriptT{ts}, []byte(page))
		if len(page) >= 500_000 {
			ts.Fatalf("%s has %d bytes", name, len(page))
		}
	}
}

// scriptT lets a script use the checks of the tests.
type scriptT struct{ *testscript.TestScript }

func (t scriptT) Errorf(format string, args ...any) { t.Fatalf(format, args...) }
func (t scriptT) FailNow()                          { t.Fatalf("failed") }

// All samples' sheets are whole, and small enough to be sent about.
func TestSheets(t *testing.T) {
	for _, s := range samples.Names() {
		if slices.Contains([]string{"dish-and-caul", "guitar-28ft", "ukulele-inches", "short"}, s) {
			continue // of a kind with others; scripts look at theirs
		}
		call := []string{"sheet", s}
		if (s == "dish-in-turns" || s == "plate-caul") && !chance.Long() {
			call = append(call, "--set", "pattern=raster") // planned in a third of the time
		}
		var out, notes bytes.Buffer
		require.Equal(t, 0, runHere(call, nil, &out, &notes), notes.String())
		wellFormed(t, out.Bytes())
		require.Less(t, out.Len(), 500_000, s)
		require.Contains(t, out.String(), "<svg", s)
		text := visible(out.Bytes())
		require.NotRegexp(t, `\b20[0-9][0-9]-`, text, "no dates")
		words := []string{"a spinning cutter cuts hands", "dust", "touch Z0 off", "Hands off, everyone clear", "emergency stop", "air lap", "line ", "Measure again", "MDF move", "manual programs"}
		if slices.Contains(samples.Rims(), s) {
			words = []string{"Sides are sanded, never cut", "dust", "off the top", "Sanding, step by step", "Gluing the plate on", "squeeze out all round", "manual sides"}
		}
		if s == "octave-mandolin" {
			words = append(words, "The covering", "First sanding", "soft pencil", "A bow of 0.5 mm", "5.79 mm deep", "along X")
		}
		for _, word := range words {
			require.Contains(t, text, word, s)
		}
	}
}

// visible is what a reader of a page sees, and hears of its drawings.
func visible(page []byte) string {
	var b strings.Builder
	d := xml.NewDecoder(bytes.NewReader(page))
	for hidden := false; ; {
		token, err := d.Token()
		if err != nil {
			return b.String()
		}
		switch e := token.(type) {
		case xml.StartElement:
			hidden = e.Name.Local == "style"
		case xml.CharData:
			if !hidden {
				b.Write(e)
			}
		}
	}
}

// The sheet repeats each message of each program, and the set's figures.
func TestSheetRepeatsThePrograms(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "set")
	var out, notes bytes.Buffer
	require.Equal(t, 0, runHere([]string{"make", "ukulele-inches", "-o", dir}, nil, &out, &notes), notes.String())
	page, err := os.ReadFile(filepath.Join(dir, sheetName))
	require.NoError(t, err)
	text := visible(page)
	programs, err := filepath.Glob(filepath.Join(dir, "*.ngc"))
	require.NoError(t, err)
	require.Greater(t, len(programs), 1)
	for _, p := range programs {
		data, err := os.ReadFile(p)
		require.NoError(t, err)
		require.Contains(t, text, filepath.Base(p))
		messages := 0
		for _, line := range strings.Split(string(data), "\n") {
			if said, ok := strings.CutPrefix(line, "(MSG, "); ok {
				require.Contains(t, text, strings.TrimSuffix(said, ")"))
				messages++
			}
		}
		require.Positive(t, messages, p)
	}
	require.GreaterOrEqual(t, strings.Count(text, "Hands off, everyone clear"), len(programs), "before each program")
	require.Contains(t, text, "16 in") // the builder's unit
	require.Equal(t, 3, strings.Count(text, "radius 12 ft, page "), "every page says whose it is")
}
