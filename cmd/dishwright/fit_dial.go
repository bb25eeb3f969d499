package main

import (
	"dishwright/cmd/internal/dial"
	"dishwright/cmd/internal/readings"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// fitDial tells what a dial's readings say that a job's own machine took; done is false of
// other readings.
func (a *app) fitDial(f fitFlags, args []string) (done bool, err error) {
	if f.plan {
		if f.scrap.job != "" {
			return true, tell.Errorf("--radius and --diameter with --plan", "--job says something of readings, and with --plan nothing is read")
		}
		return false, nil
	}
	data, err := strict.ReadFile(args[0])
	if err != nil { // of readings taken apart, what is wrong with the call goes first
		return f.scrap.job != "", err
	}
	if !dial.IsTable(data) && (f.scrap.job == "" || readings.Apart(args[0], data)) {
		if f.scrap.job != "" {
			return true, tell.Errorf("--against JOB for readings taken apart from the machine; --job for the table of dishwright readings", "%s is no table of dishwright readings", measure.Quote(args[0]))
		}
		return false, nil
	}
	return true, a.fitTable(f, args[0], data)
}

// fitTable tells what such a table says.
func (a *app) fitTable(f fitFlags, file string, data []byte) error {
	const alone = "readings that a machine took of its own work never release it"
	switch {
	case f.against != "" || f.width != "" || f.limit != "" || f.wood:
		return tell.Errorf("--job JOB for what they tell; --against takes readings of a straightedge, a bar or places measured elsewhere", "%s", alone)
	case f.radius != "" || f.diameter != "" || f.crown:
		return tell.Errorf("--job JOB alone: leave --radius, --diameter and --crown out", "of a radius readings say nothing that a machine took of its own work")
	case f.scrap.job == "":
		return tell.Errorf("--job dish.yaml", "%s holds readings of a dial gauge, which need the job whose machine took them", measure.Quote(file))
	case f.sheet != "":
		return tell.Errorf("leave --sheet out", "the sheet of these readings was made with their program")
	}
	gauge := measure.Length{}
	if f.gauge != "" {
		var err error
		if gauge, err = lengthFlag("gauge", f.gauge, measure.Range{Least: readings.LeastGauge, Most: readings.MostGauge, From: 0.001, To: 0.5}); err != nil {
			return err
		}
	}
	j, err := a.loadJob(f.scrap.job)
	if err != nil {
		return err
	}
	filled, err := dial.Read(file, data, j)
	if err != nil {
		return err
	}
	found, err := dial.Judge(filled, gauge.MM)
	if err != nil {
		return err
	}
	if f.asJSON {
		return a.json(found)
	}
	u := j.Ruler
	if a.units == "" && filled.Inches {
		u.Inches = true
	}
	writeDocument(a.report(), found.Answer(u, f.full))
	return nil
}
