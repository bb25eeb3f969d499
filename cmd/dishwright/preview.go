package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cam/job"
	"dishwright/cam/proof"
	"dishwright/cmd/internal/draw"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

func newPreviewCmd(a *app) *cobra.Command {
	var width int
	var plain, force bool
	var step, svg, png string
	var from, cutters []string
	cmd := &cobra.Command{
		Use:   "preview JOB",
		Short: "Draw a job's passes, a section and what is left, as text",
		Long: `Simulate a job's programs and draw them as text: the passes seen from above, a
section through the apex, and a map of what each program leaves above the wanted
face, all worked out from the programs' own moves. Block characters and colour
are used where the terminal shows them; NO_COLOR turns colour off, --plain both.
With --svg or --png the same is drawn as on the bench sheet, into a file, and no
text; of a rim its outline, its sides and its sanding. JOB is a file or the name of a sample.`,
		Example: `  dishwright preview octave-mandolin
  dishwright preview dish.yaml --step 1/3 --width 100
  dishwright preview dish.yaml --from edited.ngc
  dishwright preview dish.yaml --svg picture.svg --force`,
		Args: exactlyOne("job"),
		RunE: func(cmd *cobra.Command, args []string) error {
			look, err := a.lookOf(cmd, width, plain)
			if err != nil {
				return err
			}
			share, err := readStep(step)
			if err != nil {
				return err
			}
			if len(cutters) > 0 && len(from) == 0 {
				return tell.Errorf("--from edited.ngc --cutter "+measure.Quote(cutters[0]), "--cutter names the cutter of a program, and none is named")
			}
			to := pictureFiles{svg, png, force}
			if done, err := a.drawRim(args[0], to); done || err != nil {
				return err
			}
			j, err := a.loadJob(args[0])
			if err != nil {
				return err
			}
			if len(from) > 0 {
				return previewFrom(a, j, from, cutters, share, look, to)
			}
			if err := a.vacant(force, svg, png); err != nil {
				return err
			}
			r, err := a.runJob(cmd.Context(), j)
			if err != nil {
				return err
			}
			if to.any() {
				err = a.writePictures(to, j.Work.Name, picturesOf(r, share))
			} else {
				fmt.Fprint(a.out, shop.Drawings(r, share, look))
			}
			if err != nil {
				return err
			}
			return brokenError(r)
		},
	}
	cmd.Flags().StringVar(&svg, "svg", "", "draw into the new `FILE` as SVG instead")
	cmd.Flags().StringVar(&png, "png", "", "draw into the new `FILE` as PNG instead")
	cmd.Flags().BoolVar(&force, "force", false, "replace such a FILE where an earlier one stands")
	cmd.Flags().IntVar(&width, "width", draw.DefaultWidth, "columns to draw in")
	cmd.Flags().BoolVar(&plain, "plain", false, "plain ASCII without colour")
	cmd.Flags().StringArrayVar(&from, "from", nil, "draw what this program leaves instead; once for each, in running order")
	cmd.Flags().StringArrayVar(&cutters, "cutter", nil, "the cutter of a program that does not name it, in the programs' order")
	cmd.Flags().StringVar(&step, "step", "", "draw the work part-way, such as 1/4")
	return a.settable(cmd)
}

// previewFrom draws what the programs in files leave. What is wrong with them is
// said after the drawing, as far as they could be read.
func previewFrom(a *app, j job.Job, names, cutters []string, share float64, look draw.Options, to pictureFiles) error {
	sources, closers, err := openPrograms(names, cutters)
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
	v, programs, err := shop.Prove(j, sources)
	if err != nil {
		return err
	}
	for _, f := range v.Findings {
		if f.Kind == string(proof.KindText) || f.Kind == string(proof.KindCutter) {
			return tell.Bound(fmt.Sprintf("%s:%d:%d: %s", f.Program, f.Line, f.Column, f.Message))
		}
	}
	if j.Mate != nil {
		return tell.Errorf("preview JOB draws both of them from the job", "programs of a pair are not drawn: they cut two blanks")
	}
	if to.any() {
		if err := a.writePictures(to, j.Work.Name, shop.PicturesRead(&j.Work, programs, share).All()); err != nil {
			return err
		}
	} else {
		fmt.Fprint(a.out, shop.DrawRead(&j.Work, programs, share, look))
	}
	if n := len(v.Findings); n > 0 {
		f := v.Findings[0]
		return tell.Hint(tell.Bound(fmt.Sprintf("%s:%d:%d: %s: %s", f.Program, f.Line, f.Column, f.Kind, f.Message)), "dishwright prove lists "+measure.Count(n, "finding"))
	}
	return nil
}

// lookOf is the look of a text drawing, as the flags say.
func (a *app) lookOf(cmd *cobra.Command, width int, plain bool) (draw.Options, error) {
	look := a.look
	if cmd.Flags().Changed("width") {
		if width < draw.Narrowest || width > draw.Widest {
			return look, tell.Errorf(fmt.Sprintf("from %d to %d columns", draw.Narrowest, draw.Widest), "--width %d is not a width to draw in", width)
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
