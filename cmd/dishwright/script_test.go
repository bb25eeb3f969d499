package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"dishwright/cam/chance"
	"dishwright/cmd/internal/tell"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"dishwright": main, // its limit of memory included

		"dishwright-waiting": func() { os.Exit(runWaiting()) },
		"dishwright-failing": func() { os.Exit(runFailing()) },
	})
}

// TestScript runs every script of testdata/script; UPDATE=1 in the environment
// writes what they compare again.
func TestScript(t *testing.T) {
	dir, err := filepath.Abs("testdata/script") // the folder changes under way
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 dir,
		UpdateScripts:       os.Getenv("UPDATE") == "1",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Condition: func(word string) (bool, error) {
			if word != "long" {
				return false, fmt.Errorf("no condition is called %q", word)
			}
			return chance.Long(), nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exitcode": exitCode,
			"only":     only,
			"jsonkeys": jsonKeys,
			"named":    named,
			"sparse":   sparse,
			"atmost":   atMostLines,
			"narrow":   narrow,
			"whole":    whole,
		},
	})
}

// exitCode is the command `exitcode N NAME ARG...`: it runs a program, as exec
// does, and fails unless it ends with just that code, and with a hint where that is 2. The program itself is run
// within the test, which is quicker; with LONG it is a process, as it is under exec.
func exitCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exitcode N NAME ARG...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var heard strings.Builder // of a run within the test: its stderr is told afterwards
	if args[1] == "dishwright" && !chance.Long() {
		got = runIn(ts.MkAbs("."), args[2:], ts.Stdout(), io.MultiWriter(ts.Stderr(), &heard))
	} else {
		err = ts.Exec(args[1], args[2:]...)
		if ended, ok := errors.AsType[*exec.ExitError](err); ok {
			got = ended.ExitCode()
		} else if err != nil {
			ts.Fatalf("%v", err)
		}
	}
	if said := ts.ReadFile("stderr"); got == tell.Wrong && args[1] == "dishwright" && !strings.Contains(said+heard.String(), "hint: ") {
		ts.Fatalf("exit code 2 without a hint")
	}
	if got != want {
		ts.Fatalf("exit code %d, not %d\n%s%s", got, want, ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
}

// folder is held while a command runs in a folder: there is one for the whole process.
var folder sync.Mutex

// runIn runs the program within a folder.
func runIn(dir string, args []string, stdout, stderr io.Writer) int {
	folder.Lock()
	defer folder.Unlock()
	home, err := os.Getwd()
	if err == nil {
		err = os.Chdir(dir)
	}
	if err != nil {
		panic(err)
	}
	defer os.Chdir(home)
	return runHere(args, strings.NewReader(""), stdout, stderr)
}

// only is the command `only DIR NAME...`: it fails unless the folder holds just
// those names, hidden ones too.
func only(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: only DIR NAME...")
	}
	want := map[string]bool{}
	for _, name := range args[1:] {
		want[name] = true
	}
	found, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	for _, f := range found {
		if !want[f.Name()] {
			ts.Fatalf("%s holds %s", args[0], f.Name())
		}
		delete(want, f.Name())
	}
	for _, name := range args[1:] {
		if want[name] {
			ts.Fatalf("%s lacks %s", args[0], name)
		}
	}
}
