package play

import (
	"context"
	"errors"
	"io"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"golang.org/x/term"

	"dishwright/cmd/internal/picture"
)

// File is an open file, such as standard input.
type File interface {
	io.ReadWriter
	Fd() uintptr
}

// Screen is a terminal that Run draws frames on. Close leaves it as Run found it.
type Screen struct {
	in, out File
	was     atomic.Pointer[term.State] // of in; nil before Run
	over    atomic.Bool

	mu    sync.Mutex // of what is written
	shown string
}

// What is written to a terminal: ECMA-48's own, and the private modes 25 (the cursor) and
// 1049 (another page, which goes away again) that terminals have in common.
const (
	begin  = "\x1b[?1049h\x1b[?25l\x1b[2J"
	end    = "\x1b[0m\x1b[?25h\x1b[?1049l"
	home   = "\x1b[H"
	erase  = "\x1b[K" // to the line's end
	below  = "\x1b[J" // to the page's end
	newRow = "\r\n"
)

// Usable reports whether frames can be drawn and keys be read: both files are a terminal
// that takes sequences.
func Usable(in io.Reader, out io.Writer) bool {
	i, ok := in.(File)
	o, fine := out.(File)
	return ok && fine && term.IsTerminal(int(i.Fd())) && term.IsTerminal(int(o.Fd())) &&
		os.Getenv("TERM") != "dumb" && picture.Escapes(o.Fd())
}

// NewScreen returns a terminal, which is Usable, as it is yet.
func NewScreen(in io.Reader, out io.Writer) *Screen {
	return &Screen{in: in.(File), out: out.(File)}
}

// open takes the terminal over, unless it was closed before.
func (s *Screen) open() (err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.over.Load() {
		return context.Canceled
	}
	was, err := term.MakeRaw(int(s.in.Fd()))
	if s.was.Store(was); err == nil {
		_, err = io.WriteString(s.out, begin)
	}
	return err
}

// Close gives the terminal back; what is shown after it is not drawn. It may be called
// twice, from anywhere, and on nil. A terminal that takes no more is given back without a
// last word.
func (s *Screen) Close() {
	if s == nil {
		return
	}
	const tries, pause = 50, 10 * time.Millisecond
	free := s.mu.TryLock()
	for n := 0; !free && n < tries; n++ {
		time.Sleep(pause)
		free = s.mu.TryLock()
	}
	if free {
		defer s.mu.Unlock()
	}
	was := s.was.Load()
	if s.over.Swap(true) || was == nil {
		return
	}
	if free {
		io.WriteString(s.out, end)
	}
	term.Restore(int(s.in.Fd()), was)
}

// size returns how many columns and rows there are.
func (s *Screen) size() (width, height int) {
	width, height, err := term.GetSize(int(s.out.Fd()))
	if err != nil || width <= 0 || height <= 0 {
		return 80, 24 // a terminal that does not say
	}
	return width, height
}

// show draws a frame where it differs from the last one.
func (s *Screen) show(lines []string, width, height int, anew bool) error {
	var b strings.Builder
	b.WriteString(home)
	for i, l := range lines {
		if i > 0 {
			b.WriteString(newRow)
		}
		b.WriteString(l)
		if columns(l) < width { // at the last column it would take that away
			b.WriteString(erase)
		}
	}
	if len(lines) < height {
		b.WriteString(newRow + below)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.over.Load() || b.String() == s.shown && !anew {
		return nil
	}
	s.shown = b.String()
	text := s.shown
	if anew {
		text = "\x1b[2J" + text
	}
	_, err := io.WriteString(s.out, text)
	return err
}

// rate is how many frames are drawn in a second, at most.
const rate = 20

// Run shows the run until a key ends it. The error is context.Canceled where that was
// Ctrl-C, and what keeps frames from being drawn.
func Run(ctx context.Context, s *Screen, show *Show, look picture.Look) error {
	defer s.Close() // also where something panics
	if err := s.open(); err != nil {
		return err
	}
	keys := make(chan Key)
	lost := make(chan struct{})
	gone := make(chan struct{})
	defer close(gone)
	go s.read(keys, lost, gone)
	tick := time.NewTicker(time.Second / rate)
	defer tick.Stop()
	last := time.Now()
	var wide, high int
	for {
		w, h := s.size()
		if err := s.show(show.Frame(w, h, look), w, h, w != wide || h != high); err != nil {
			return err
		}
		wide, high = w, h
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-lost:
			return errors.New("the terminal went away")
		case k := <-keys:
			switch k {
			case Quit:
				return nil
			case Break:
				return context.Canceled
			}
			show.Press(k)
		case now := <-tick.C:
			// After a pause of the whole process the run goes on where it was.
			show.Pass(min(now.Sub(last), 4*time.Second/rate))
			last = now
		}
	}
}

// read takes keys from the terminal until it ends, or nobody takes them any more.
func (s *Screen) read(keys chan<- Key, lost, gone chan struct{}) {
	var k Keys
	var buf [64]byte
	for {
		n, err := s.in.Read(buf[:])
		for _, b := range buf[:n] {
			if key := k.Take(b); key != None {
				select {
				case keys <- key:
				case <-gone:
					return
				}
			}
		}
		if err != nil {
			close(lost)
			return
		}
	}
}
