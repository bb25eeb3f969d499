package main

import (
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// logFlags are what the call of rim says of a log of widths.
type logFlags struct{ file, back string }

// check refuses a call that cannot be meant.
func (f logFlags) check(asCSV bool) error {
	switch {
	case f.file != "" && asCSV:
		return tell.Errorf("--json holds the log's figures", "--csv writes the table of stations, which a log does not change")
	case f.file == "" && f.back != "":
		return tell.Errorf("--log widths.csv --back "+f.back, "--back is said of a log of widths, and there is none")
	case f.back != "" && f.back != sides.BackUnsanded && f.back != sides.BackFinished:
		return tell.Errorf(strict.Suggest(f.back, []string{sides.BackUnsanded, sides.BackFinished}, "the back's edge is"), "--back cannot be %s", measure.Quote(f.back))
	}
	return nil
}

// take reads the log into a rim that was worked out, where the call names one.
func (f logFlags) take(r *sides.Result) error {
	if f.file == "" {
		return nil
	}
	data, err := strict.ReadFile(f.file)
	if err != nil {
		return err
	}
	if f.back == "" {
		f.back = sides.BackUnsanded
	}
	return r.TakeLog(f.file, data, f.back)
}
