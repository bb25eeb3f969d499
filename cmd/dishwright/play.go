package main

import (
	"bytes"
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/play"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
)

// playing is whether a preview runs in the terminal, and how fast.
type playing struct {
	on   bool
	pace int
}

func (p *playing) flags(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&p.on, "play", false, "run the work in the terminal: space holds, arrows step, q ends")
	cmd.Flags().IntVar(&p.pace, "pace", play.Usual, fmt.Sprintf("how many times as fast as the machine --play runs, %d to %d", play.Slowest, play.Fastest))
}

// check refuses what cannot be played, before anything is computed.
func (p playing) check(a *app, cmd *cobra.Command, f previewFlags) error {
	switch {
	case !p.on && cmd.Flags().Changed("pace"):
		return tell.Errorf(fmt.Sprintf("--play --pace %d", p.pace), "--pace is how fast --play runs, and that is not asked for")
	case p.pace < play.Slowest || p.pace > play.Fastest:
		return tell.Errorf(fmt.Sprintf("from %d to %d times as fast as the machine", play.Slowest, play.Fastest), "--pace %d is not a pace to run at", p.pace)
	case p.on && (f.passes || f.remaining || f.section != ""):
		return tell.Errorf("the work as it runs, or one view of one moment", "--play shows the wood that is left, and no other view")
	case p.on && f.stage != "" && f.step != "":
		return tell.Errorf("one of them", "--stage and --step both say where --play begins")
	case p.on && (f.svg != "" || f.png != ""):
		return tell.Errorf("a picture of one moment: --step K/N, such as --step 1/4", "--play runs in the terminal, not in a file")
	case p.on && f.step != "" && !play.Usable(a.in, a.screen):
		return tell.Errorf("leave --play out: --step "+f.step+" alone draws that moment as text", "--play needs a terminal to draw on and to read keys from")
	case p.on && !play.Usable(a.in, a.screen):
		return tell.Errorf("one moment of the work as text: --step K/N, such as --step 1/4", "--play needs a terminal to draw on and to read keys from")
	}
	return nil
}

// run plays programs from the stage that is asked for, or from where the given share of
// their path is cut.
func (p playing) run(ctx context.Context, a *app, programs []play.Program, ask shop.Ask, look picture.Look) error {
	show := play.NewShow(programs, p.pace)
	switch {
	case ask.Stage > 0:
		show.GoStage(ask.Stage)
	case ask.Share < 1:
		show.GoShare(ask.Share)
	}
	a.progress.Load().End()
	s := play.NewScreen(a.in, a.screen)
	a.playing.Store(s) // before it is taken over: a signal gives it back
	return play.Run(ctx, s, show, look)
}

// listen returns what will have been read of programs that are played.
func (p playing) listen(sources []shop.Source) (heard []*bytes.Buffer) {
	for i := range sources {
		if p.on {
			heard = append(heard, &bytes.Buffer{})
			sources[i].Text = io.TeeReader(sources[i].Text, heard[i])
		}
	}
	return heard
}
