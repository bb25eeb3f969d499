package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cam/job"
	"dishwright/cam/proof"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// previewFlags are what a preview was asked for.
type previewFlags struct {
	width                   int
	plain, force            bool
	stage                   string
	passes, remaining       bool
	step, section, svg, png string
	from, cutters           []string
	play                    playing
}

func newPreviewCmd(a *app) *cobra.Command {
	var f previewFlags
	cmd := &cobra.Command{
		Use:   "preview JOB",
		Short: "Draw a job's passes, a section and what is left",
		Long: `Simulate a job's programs and draw the finish, worked out from the programs' own
moves: the passes seen from above over what they leave above the wanted face, and a
section through the apex, its heights drawn larger. Where the passes stand too close
to be told apart as many are drawn as can be, each from end to end. --stage draws one
stage alone, --step the work part-way; --passes, --remaining and --section draw one
view, larger. --play runs the work in the terminal: the wood as it comes off, the
cutter, the program and the line of its text, the time gone and left; space holds it,
arrows step, q ends it. Blocks and colour are used where the terminal shows them;
NO_COLOR turns colour off, --plain both. With --svg or --png the drawings of all
stages are written into a file, and no text; of a rim its outline, its sides and its
sanding. JOB is a file or the name of a sample.`,
		Example: `  dishwright preview octave-mandolin
  dishwright preview dish.yaml --stage 1 --step 1/3 --width 100
  dishwright preview dish.yaml --section "along Y at 40 mm"
  dishwright preview dish.yaml --from edited.ngc
  dishwright preview dish.yaml --play --pace 120
  dishwright preview dish.yaml --svg picture.svg --force`,
		Args: exactlyOne("job"),
		RunE: func(cmd *cobra.Command, args []string) error {
			look, err := a.lookOf(cmd, f.width, f.plain)
			if err != nil {
				return err
			}
			ask, err := f.ask()
			if err != nil {
				return err
			}
			if len(f.cutters) > 0 && len(f.from) == 0 {
				return tell.Errorf("--from edited.ngc --cutter "+measure.Quote(f.cutters[0]), "--cutter names the cutter of a program, and none is named")
			}
			to := pictureFiles{f.svg, f.png, f.force}
			if err := f.play.check(a, cmd, f); err != nil {
				return err
			}
			if f.whole() {
				if r, err := a.uncut(args[0]); r != nil || err != nil {
					if err == nil {
						err = a.drawRim(r, look, to)
					}
					return err
				}
			}
			j, err := a.loadJob(args[0])
			if err != nil {
				return err
			}
			ask.Ruler = j.Ruler
			if len(f.from) > 0 {
				return previewFrom(cmd.Context(), a, j, f, ask, look, to)
			}
			if err := a.vacant(f.force, f.svg, f.png); err != nil {
				return err
			}
			r, err := a.runJob(cmd.Context(), j)
			if err != nil {
				return err
			}
			scenes := r.Scenes()
			if ask.Stage, err = scenes.Stage(f.stage); err != nil {
				return err
			}
			if f.play.on {
				err = f.play.run(cmd.Context(), a, r.Play(), ask, look)
			} else {
				err = a.show(j.Work.Name, scenes, ask, look, to)
			}
			if err != nil {
				return err
			}
			return brokenError(r)
		},
	}
	f.flags(cmd)
	return a.settable(cmd)
}

func (f *previewFlags) flags(cmd *cobra.Command) {
	f.play.flags(cmd)
	cmd.Flags().StringVar(&f.stage, "stage", "", "draw one `STAGE` alone: its number, rough, finish, extras, or its program's file")
	cmd.Flags().BoolVar(&f.passes, "passes", false, "draw the passes alone, larger")
	cmd.Flags().BoolVar(&f.remaining, "remaining", false, "draw what is left above the face alone, larger")
	cmd.Flags().StringVar(&f.section, "section", "", "draw a section alone, along a `LINE` such as \"along Y at 40 mm\"")
	cmd.Flags().StringVar(&f.svg, "svg", "", "draw into the new `FILE` as SVG instead")
	cmd.Flags().StringVar(&f.png, "png", "", "draw into the new `FILE` as PNG instead")
	cmd.Flags().BoolVar(&f.force, "force", false, "replace such a FILE where an earlier one stands")
	cmd.Flags().IntVar(&f.width, "width", picture.DefaultWidth, "columns to draw in")
	cmd.Flags().BoolVar(&f.plain, "plain", false, "plain ASCII without colour")
	cmd.Flags().StringArrayVar(&f.from, "from", nil, "draw what this program leaves instead; once for each, in running order")
	cmd.Flags().StringArrayVar(&f.cutters, "cutter", nil, "the cutter of a program that does not name it, in the order in which the programs are given")
	cmd.Flags().StringVar(&f.step, "step", "", "draw the work part-way, such as 1/4")
}

// whole reports whether all there is shall be drawn, no program or part of the work.
func (f previewFlags) whole() bool {
	return !f.passes && !f.remaining && !f.play.on && f.stage == "" && f.step == "" && f.section == "" && len(f.from) == 0
}

// ask reads what is to be seen, but for the stage, which the job has to know.
func (f previewFlags) ask() (ask shop.Ask, err error) {
	ask = shop.Ask{Passes: f.passes, Remaining: f.remaining}
	if f.passes && f.remaining || f.section != "" && (f.passes || f.remaining) {
		return ask, tell.Errorf("one of the three; without them passes, depth and a section are drawn", "--passes, --remaining and --section each draw one view alone")
	}
	if ask.Share, err = readStep(f.step); err != nil {
		return ask, err
	}
	if f.section != "" {
		ask.Section, err = shop.ParseLine(f.section)
	}
	return ask, err
}

// show draws scenes as text or into files.
func (a *app) show(name string, scenes shop.Scenes, ask shop.Ask, look picture.Look, to pictureFiles) error {
	name = tell.Plain(name, 120)
	if to.any() {
		list, err := scenes.Pictures(ask)
		if err != nil {
			return err
		}
		return a.writePictures(to, name, list)
	}
	text, err := scenes.Still(name, ask, look)
	if err == nil {
		fmt.Fprint(a.out, text)
	}
	return err
}

// previewFrom draws what the programs in files leave. What is wrong with them is
// said after the drawing, as far as they could be read.
func previewFrom(ctx context.Context, a *app, j job.Job, f previewFlags, ask shop.Ask, look picture.Look, to pictureFiles) error {
	sources, closers, err := a.openPrograms(f.from, f.cutters)
	defer func() {
		for _, c := range closers {
			c.Close()
		}
	}()
	if err != nil {
		return err
	}
	if err := a.vacant(to.force, to.svg, to.png); err != nil {
		return err
	}
	heard := f.play.listen(sources)
	v, programs, err := shop.Prove(j, sources)
	if err != nil {
		return err
	}
	for _, f := range v.Findings {
		if f.Kind == string(proof.KindText) || f.Kind == string(proof.KindCutter) {
			return tell.Bound(fmt.Sprintf("%s:%d:%d: %s", f.Program, f.Line, f.Column, f.Message.In(j.Ruler)))
		}
	}
	if j.Mate != nil {
		return tell.Errorf("preview JOB draws both of them from the job", "programs of a pair are not drawn: they cut two blanks")
	}
	scenes := shop.SceneRead(&j.Work, programs)
	if ask.Stage, err = scenes.Stage(f.stage); err != nil {
		return err
	}
	if f.play.on {
		err = f.play.run(ctx, a, shop.PlayRead(&j, programs, heard), ask, look)
	} else {
		err = a.show(j.Work.Name, scenes, ask, look, to)
	}
	if err != nil {
		return err
	}
	if n := len(v.Findings); n > 0 {
		f := v.Findings[0]
		return tell.Hint(tell.Bound(fmt.Sprintf("%s:%d:%d: %s: %s", f.Program, f.Line, f.Column, f.Kind, f.Message.In(j.Ruler))), "dishwright prove lists "+measure.Count(n, "finding"))
	}
	return nil
}

// lookOf is the look of a text drawing, as the flags say.
func (a *app) lookOf(cmd *cobra.Command, width int, plain bool) (picture.Look, error) {
	look := a.look
	if cmd.Flags().Changed("width") {
		if width < picture.Narrowest || width > picture.Widest {
			return look, tell.Errorf(fmt.Sprintf("from %d to %d columns", picture.Narrowest, picture.Widest), "--width %d is not a width to draw in", width)
		}
		look.Width = width
	}
	if plain {
		look.Blocks, look.Colour = false, false
	}
	return look, nil
}

// readStep reads K/N as a share of the work; an empty one is all of it.
func readStep(text string) (float64, error) {
	if text == "" {
		return 1, nil
	}
	bad := tell.Errorf("write a share of the work: --step 1/4 draws the first quarter of the path", "--step %q is not a share", text)
	k, n, ok := strings.Cut(text, "/")
	a, errA := strconv.Atoi(strings.TrimSpace(k))
	b, errB := strconv.Atoi(strings.TrimSpace(n))
	if !ok || errA != nil || errB != nil || b < 1 || a < 0 || a > b {
		return 0, bad
	}
	return min(1, float64(a)/float64(b)), nil
}
