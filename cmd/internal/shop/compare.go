package shop

import (
	"dishwright/cam/choose"
	"dishwright/cam/job"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// Comparison is every cutter × pattern of a job, quickest first.
type Comparison struct {
	Job       string       `json:"job"`
	ScallopMM float64      `json:"scallop_mm"`
	Condition measure.Said `json:"condition"` // for which scallops are certified, in words
	Machine   string       `json:"machine"`
	Ways      []Compared   `json:"ways"`
}

// Compared is a cutter with a pattern; its figures are missing where it is ruled out.
type Compared struct {
	*Figures
	Finish   string       `json:"finish"`
	Pattern  string       `json:"pattern"`
	Chosen   bool         `json:"chosen"`         // by the job as it stands
	Note     string       `json:"note,omitempty"` // on its figures
	RuledOut measure.Said `json:"ruled_out"`
}

// Figures are what a way of doing the work costs and leaves.
type Figures struct {
	Rank            int          `json:"rank"`
	Rough           string       `json:"rough"`
	Way             string       `json:"way"`
	Name            measure.Said `json:"name"` // of the finishing passes, with their parameters
	TimeS           float64      `json:"time_s"`
	FinishingTimeS  float64      `json:"finishing_time_s"`
	PathMM          float64      `json:"path_mm"`
	FinishingPathMM float64      `json:"finishing_path_mm"`
	CertifiedMM     *float64     `json:"certified_mm"` // null where the note says why
	BiteMM          float64      `json:"bite_mm"`
	ChipLoadMM      float64      `json:"chip_load_mm"`
	FeedMMMin       float64      `json:"feed_mm_min"`
	Passes          int          `json:"passes"`
	WidestStepMM    float64      `json:"widest_step_mm"`
}

// Compare ranks every cutter × pattern of the job.
func Compare(j job.Job) (Comparison, error) {
	if !j.Work.HasFace() {
		return Comparison{}, j.Fault("form", "templates have no face, and so no patterns to compare", "dishwright check tells what their programs do")
	}
	rows, err := choose.Compare(&j.Work)
	if err != nil {
		return Comparison{}, j.Locate(choose.Hinted(&j.Work, err, pairOf(j)))
	}
	c := Comparison{Job: j.Work.Name, ScallopMM: j.Work.Scallop, Condition: covers{work: &j.Work, level: true}.condition(), Machine: j.Work.Machine.Name, Ways: []Compared{}}
	for i, r := range rows {
		way := Compared{Finish: r.Finish, Pattern: r.Pattern, Chosen: r.Chosen, Note: r.Note, RuledOut: r.Out}
		if r.Out.Empty() {
			way.Figures = &Figures{Rank: i + 1, Rough: r.Rough, Way: r.Label(), Name: r.Name, TimeS: r.Seconds, FinishingTimeS: r.Finishing,
				PathMM: r.Path, FinishingPathMM: r.FinishingPath, BiteMM: r.Bite, ChipLoadMM: r.ChipLoad, FeedMMMin: r.Feed,
				Passes: r.Passes, WidestStepMM: r.Widest}
			if r.Certified != 0 {
				up := roundUp(r.Certified)
				way.CertifiedMM = &up
			}
		}
		c.Ways = append(c.Ways, way)
	}
	tell.Tidy(&c)
	return c, nil
}
