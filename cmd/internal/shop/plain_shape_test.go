package shop_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// mounted is the cutter that a program runs with.
type mounted struct {
	flutes        int
	chip, fastest float64 // mm a tooth, rpm
}

// shape holds what was read against the order in which every program goes: what it is,
// one stop, the settings, straight up, the spindle, the work, straight up, spindle off, the
// end. It returns all that is wrong.
func (p *plainly) shape(c mounted) []string {
	s := shaper{plainly: p}
	for i, l := range p.lines {
		if l.comment == "" {
			s.acts = append(s.acts, i)
		}
	}
	s.named()
	s.begins()
	s.settings()
	s.up()
	off := s.turnsOn(c)
	s.work(c, off)
	s.ends(off)
	return p.faults
}

// shaper goes through the lines that are no comments.
type shaper struct {
	*plainly
	acts      []int
	next      int
	clearance float64
	speed     float64
}

// code is what the next line does; empty at the end.
func (s *shaper) code() string {
	if s.next == len(s.acts) {
		return ""
	}
	return s.lines[s.acts[s.next]].code
}

// number is the next line's.
func (s *shaper) number() int {
	if s.next == len(s.acts) {
		return len(s.lines)
	}
	return s.acts[s.next] + 1
}

// take goes past a line that must be of a code.
func (s *shaper) take(code string) {
	if s.code() != code {
		s.fault(s.number(), "%s where %s must stand", s.code(), code)
		return
	}
	s.next++
}

// stop goes past a stop, and holds what is asked at it against what may be asked.
func (s *shaper) stop(byHand bool) {
	var asked []string
	for i := s.acts[min(s.next, len(s.acts)-1)] - 1; i >= 0 && s.lines[i].comment != ""; i-- {
		if m := s.lines[i].message; m != "" {
			asked = append([]string{m}, asked...)
		} else if len(asked) == 0 {
			break // what stands last before a stop is a message
		}
	}
	n := s.number()
	s.take("M0")
	if len(asked) == 0 {
		s.fault(n, "a stop without a message directly before it")
	}
	for _, why := range asksForHands(asked, byHand) {
		s.fault(n, "%s", why)
	}
}

// wholeLines are the lines that programs are told apart by.
var wholeLines = map[string]*regexp.Regexp{
	"cutter": regexp.MustCompile(`^cutter: \S`),
	"set":    regexp.MustCompile(`^set: program \d+ of \d+, job [0-9a-f]{8}, made as [0-9a-f]{8}$`),
	"setup":  regexp.MustCompile(`^setup: \d+ of \d+, turned \d+, X-?[\d.]+ Y-?[\d.]+ (mm|in), sector \d+$`),
}

// named: one line names the cutter, one the set, and at most one the setup, in whole.
func (s *shaper) named() {
	for _, key := range []string{"cutter", "set", "setup"} {
		n := 0
		for _, l := range s.lines {
			if strings.HasPrefix(l.comment, key+":") {
				if n++; !wholeLines[key].MatchString(l.comment) {
					s.fault(l.number, "a broken line of its %s: %s", key, l.comment)
				}
				if len(s.acts) > 0 && l.number > s.acts[0] {
					s.fault(l.number, "%s is told after the first stop", key)
				}
			}
		}
		if n > 1 || n == 0 && key == "cutter" {
			s.fault(1, "%d lines of its %s", n, key)
		}
	}
}

// begins: before anything else, one stop.
func (s *shaper) begins() { s.stop(false) }

// settings: each once, and nothing else.
func (s *shaper) settings() {
	want := []string{map[bool]string{false: "G21", true: "G20"}[s.says.inches], "G90", "G94"}
	if s.says.mode != "" {
		want = append(want, s.says.mode)
	}
	for len(want) > 0 {
		i := slices.Index(want, s.code())
		if i < 0 {
			s.fault(s.number(), "%s where %s must stand", s.code(), strings.Join(want, ", "))
			return
		}
		want = slices.Delete(want, i, i+1)
		s.next++
	}
}

// up: the first motion is Z alone, to where no other is above.
func (s *shaper) up() {
	n := s.number()
	s.take("G0")
	l := s.lines[n-1]
	if l.axes != "Z" {
		s.fault(n, "the first motion is not Z alone")
	}
	s.clearance = s.heightAfter(n - 1)
	for i, l := range s.lines {
		if l.moves && s.heightAfter(i) > s.clearance+1e-9 {
			s.fault(l.number, "above clearance")
		}
	}
}

// heightAfter is where the tip stands after a line that moves.
func (s *shaper) heightAfter(i int) float64 {
	for i++; i < len(s.lines); i++ {
		if s.lines[i].moves {
			return s.lines[i].from[2]
		}
	}
	return s.at[2]
}

// turnsOn: the spindle's start; true where it stays off.
func (s *shaper) turnsOn(c mounted) (off bool) {
	s.speed = s.says.fastest
	switch {
	case s.says.byHand && s.code() == "M0":
		s.stop(true)
	case !s.says.byHand && s.code() == "S":
		if s.speed = s.lines[s.number()-1].value; s.speed > c.fastest {
			s.fault(s.number(), "%g rpm, over the cutter's %g", s.speed, c.fastest)
		}
		s.next++
		s.take("M3")
	default:
		return true
	}
	if s.says.dwell != "none" && s.says.start > 0 {
		s.take("G4")
		return false
	}
	// Slow moves at clearance, or the first straight down, give it the time.
	waited := 0.0
	for i := s.next; i < len(s.acts); i++ {
		k := s.acts[i]
		l := s.lines[k]
		if low := s.heightAfter(k) < s.clearance-1e-9; !l.moves || low && l.axes != "Z" {
			break
		} else if waited += l.seconds; low { // straight down: the last that may count
			break
		}
	}
	if waited < s.says.start-1e-9 { // but for the last digits of a sum
		s.fault(s.number(), "the spindle has %.9g s of its %g s", waited, s.says.start)
	}
	return false
}

// work: nothing but motion, no traverse low down, no feed over what the cutter bears.
func (s *shaper) work(c mounted, off bool) {
	moved := false
	for ; s.next < len(s.acts); s.next++ {
		k := s.acts[s.next]
		l := s.lines[k]
		if slices.Contains([]string{"G17", "G18", "G19"}, l.code) {
			continue
		}
		if !l.moves {
			break
		}
		moved = true
		low := s.heightAfter(k) < s.clearance-1e-9 || l.from[2] < s.clearance-1e-9
		if !off && l.lost {
			s.fault(l.number, "a cut from a place that is not known")
		}
		if off && low {
			s.fault(l.number, "below clearance with the spindle off")
		}
		if l.code == "G0" && low && l.axes != "Z" {
			s.fault(l.number, "a traverse sideways below clearance")
		}
	}
	if !moved {
		s.fault(s.number(), "no work")
	}
	if off {
		return
	}
	// A chip that is thinner than the feed of a tooth may be made up for by half.
	if most := 1.5 * s.speed * float64(c.flutes) * c.chip; s.fastestCut > most*(1+1e-6) {
		s.fault(s.number(), "a feed of %g mm/min, over the cutter's %g", s.fastestCut, most)
	}
}

// ends: up, spindle off, the end, and nothing after it.
func (s *shaper) ends(off bool) {
	if !(s.at[2] >= s.clearance-1e-9) {
		s.fault(s.number(), "it ends below clearance")
	}
	switch {
	case !off && s.says.byHand:
		n := s.number()
		s.stop(true)
		if s.acts[s.next-1] == n-1 && !strings.Contains(strings.ToLower(s.lines[n-2].message), "off") {
			s.fault(n, "the last stop does not say to switch off")
		}
	case !off || s.code() == "M5":
		s.take("M5")
	}
	s.take("M2")
	if s.next < len(s.acts) || len(s.lines) > 0 && s.lines[len(s.lines)-1].code != "M2" {
		s.fault(s.number(), "something stands after the end")
	}
}

var (
	// hands are what is done by hand, on the machine or on the work.
	hands = `turn|rotate|slide|push|lay|place|put|clamp|unclamp|free|release|touch|set|zero|jog|bring|lower|raise|lift|move|mark|scribe|draw|change|exchange|swap|fit|insert|mount|loosen|tighten|press|remove|take|clear|clean|sweep|brush|measure|check|hold|flip|align|screw|unscrew|plug|unplug|open|close|hang|adjust|wait`
	// switching is what is done at a hand router's stop besides: nothing else turns it on.
	switching = `switch|dial`
	// A clause begins a sentence, or follows a joining word.
	clause     = `(?i)(?:^|[,:]\s+|\b(?:and|then|now|next|please|or|before|until)\s+(?:you\s+)?)(?:%s)\b`
	bidden     = regexp.MustCompile(fmt.Sprintf(clause, hands+"|"+switching))
	biddenHand = regexp.MustCompile(fmt.Sprintf(clause, hands))
	sentences  = regexp.MustCompile(`[^.?!]+(?:\.[0-9]+[^.?!]*)*[.?!]*`)
)

// asksForHands says what is wrong with what is asked at a stop: it may ask whether
// something is done, and at a stop of a hand router to switch and to set the dial; nothing
// else may be bidden there, for at a stop a machine neither jogs nor zeroes.
func asksForHands(messages []string, byHand bool) (wrong []string) {
	asks := false
	for _, m := range messages {
		if end := m[len(m)-1]; !strings.ContainsRune(".?!", rune(end)) {
			wrong = append(wrong, "a message that does not end: "+m)
		}
		for _, one := range sentences.FindAllString(m, -1) {
			one = strings.TrimSpace(one)
			if strings.HasSuffix(one, "?") {
				asks = true
				continue
			}
			bids := bidden
			if byHand {
				bids = biddenHand
			}
			if bids.MatchString(one) {
				wrong = append(wrong, "it asks for hands: "+one)
			}
		}
	}
	if !asks && !byHand && len(messages) > 0 {
		wrong = append(wrong, "nothing is asked: "+messages[len(messages)-1])
	}
	return wrong
}
