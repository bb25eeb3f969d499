//go:build browser

package main

import (
	"bytes"
	"context"
	_ "embed"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	paged "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"dishwright/samples"
)

// The sheets in a real browser. It is a command of its own, for it needs one:
//
//	apt-get install chromium        (Debian; another system's package is as good)
//	go test -tags browser -run TestBrowser ./cmd/dishwright
//
// Where there is none the test is skipped and says so. With SHOTS=DIR the pictures of
// every sheet are left in that folder, to be looked at.

//go:embed testdata/audit.js
var audit string

// looks are how a sheet is looked at: a telephone, a desk, and what lies inside the
// margins of a sheet of paper, in CSS pixels of 1/96 in.
var looks = []struct {
	name  string
	width int64
	print bool
	paper [2]float64 // in
}{
	{"phone", 390, false, [2]float64{}},
	{"desk", 1100, false, [2]float64{}},
	{"a4", 703, true, [2]float64{8.268, 11.693}},
	{"letter", 725, true, [2]float64{8.5, 11}},
}

func browser(t *testing.T) context.Context {
	t.Helper()
	path := os.Getenv("BROWSER_PATH")
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); path == "" && err == nil {
			path = found
		}
	}
	if path == "" {
		t.Skip("no browser: apt-get install chromium, or name one with BROWSER_PATH")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.UserDataDir(t.TempDir()), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	alloc, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, done := chromedp.NewContext(alloc)
	t.Cleanup(done)
	_, err := chromedp.Run(ctx, chromedp.Navigate("about:blank"))
	require.NoError(t, err, "the browser does not start")
	ctx, late := context.WithTimeout(ctx, 4*time.Minute)
	t.Cleanup(late)
	return ctx
}

func TestBrowser(t *testing.T) {
	ctx := browser(t)
	dir := t.TempDir()
	write := func(name string, args ...string) string {
		var out, notes bytes.Buffer
		code := run(args, nil, &out, &notes)
		require.Zero(t, code, "%s: %s", name, notes.String())
		file := filepath.Join(dir, name+".html")
		require.NoError(t, os.WriteFile(file, out.Bytes(), 0o644))
		return file
	}
	pages := map[string]string{}
	names := samples.Names()
	for _, s := range names {
		pages[s] = write(s, "sheet", s)
	}
	readings := filepath.Join(dir, "readings.csv")
	require.NoError(t, os.WriteFile(readings, []byte("x_mm,depth_mm\n-280,0.81\n-200,2.80\n-120,4.99\n-40,5.81\n0,5.9\n40,5.82\n120,4.60\n200,3.30\n280,0.80\n"), 0o644))
	names = append(names, "readings", "names", "crowded")
	pages["crowded"] = write("crowded", "sheet", filepath.Join("testdata", "crowded.yaml"))
	pages["readings"] = write("readings", "fit", readings, "--radius", "25 ft", "--gauge", "0.05 mm", "--sheet", "-")
	pages["names"] = write("names", "sheet", "short", "--set", `name="`+`<b>W</b>&amp;`+longWord+`"`)
	set := func(name string, args ...string) {
		folder := filepath.Join(dir, name+".set")
		var out, notes bytes.Buffer
		require.Zero(t, run(append(args, "-o", folder), nil, &out, &notes), notes.String())
		names, pages[name] = append(names, name), filepath.Join(folder, "sheet.html")
	}
	set("scrap", "scrap", "octave-mandolin")
	set("scrap in inches", "scrap", "--machine", "inch-24", "--cutter", "bull", "--diameter", "1 1/4 in", "--corner", "1/4 in")
	for _, of := range []string{"face", "top", "bed"} {
		set("dial "+of, "readings", "guitar-28ft", "--of", of, "--travel", "0.5 in")
	}
	for _, s := range names {
		for _, l := range looks {
			t.Run(s+"/"+l.name, func(t *testing.T) { look(t, ctx, pages[s], s, l.name, l.width, l.print, l.paper) })
		}
	}
}

// printed are the pages of a sheet that has others than one at the machine, one of steps and one
// for after: of many programs or setups there are more steps, a pair has a page more for each
// piece, a rim nothing to run.
var printed = map[string]int{"arc-gauges": 4, "hand-board": 4, "dish-in-turns": 6, "dish-and-caul": 8, "crowded": 7,
	"bouzouki-sides": 3, "mandola-sides": 4, "parlour-cutaway": 4, "ukulele-sides": 4, "flat-top-sides": 5, "readings": 1,
	"scrap": 4, "scrap in inches": 4, "dial face": 2, "dial top": 2, "dial bed": 3}

// longWord is a name without a blank, wider than any page.
const longWord = "dishdishdishdishdishdishdishdishdishdishdishdishdishdishdishdishdishdishdishdishdishdishdishdishdish"

func look(t *testing.T, ctx context.Context, file, name, how string, width int64, print bool, paper [2]float64) {
	media := "screen"
	if print {
		media = "print"
	}
	do(t, ctx, func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media})
		return chromedp.Void{}, err
	})
	do(t, ctx, chromedp.EmulateViewport(width, 1000))
	do(t, ctx, chromedp.Navigate("file://"+file))
	require.Empty(t, do(t, ctx, chromedp.Evaluate[[]string](audit)))
	shot := do(t, ctx, chromedp.FullScreenshot(100))
	require.Greater(t, len(shot), 10_000, "the page is blank")
	var pdf []byte
	if print {
		pdf = do(t, ctx, func(ctx context.Context, target *chromedp.Target) ([]byte, error) {
			r, err := cdp.Call(ctx, target, paged.PrintToPDF, paged.PrintToPDFParams{PaperWidth: paper[0], PaperHeight: paper[1]})
			return r.Data, err
		})
		wanted, own := printed[name]
		if !own {
			wanted = 3
		}
		require.Equal(t, wanted, bytes.Count(pdf, []byte("/Type /Page\n")), "pages of paper")
		require.Equal(t, wanted, do(t, ctx, chromedp.Evaluate[int](`document.querySelectorAll(".page").length`)), "a page of the sheet is a page of paper, with its head")
		require.Greater(t, len(pdf), 10_000)
	}
	if to := os.Getenv("SHOTS"); to != "" {
		require.NoError(t, os.MkdirAll(to, 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(to, fmt.Sprintf("%s-%s.png", name, how)), shot, 0o644))
		if print {
			require.NoError(t, os.WriteFile(filepath.Join(to, fmt.Sprintf("%s-%s.pdf", name, how)), pdf, 0o644))
		}
	}
}

// do runs one action in the browser.
func do[T any](t *testing.T, ctx context.Context, a chromedp.Action[T]) T {
	t.Helper()
	v, err := chromedp.Run(ctx, a)
	require.NoError(t, err)
	return v
}
