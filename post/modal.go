package post

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/machines"
)

// The modal groups (Table 4), numbered as in the report; those of M codes have
// their own numbers there, and their own masks in the block.
const (
	modalNone     = 0 // G4, G10, G28, G30, G53, G92 to G92.3
	modalMotion   = 1
	modalPlane    = 2
	modalDistance = 3
	modalFeed     = 5
	modalUnits    = 6
	modalCutter   = 7
	modalLength   = 8
	modalReturn   = 10
	modalOrigin   = 12
	modalPath     = 13
	modalGroups   = 14

	modalStop      = 4
	modalChange    = 6
	modalSpindle   = 7
	modalCoolant   = 8
	modalOverrides = 9
)

// modalG returns the group of a G code given in tenths, -1 where the report has
// no such code, and why the code is refused where it is not modelled.
func modalG(tenths int) (group int, refused string) {
	switch tenths {
	case 0, 10, 20, 30, 800:
		return modalMotion, ""
	case 382:
		return modalMotion, "stops where a probe touches: the place is not known before"
	case 810, 820, 830, 840, 850, 860, 870, 880, 890:
		return modalMotion, "is a canned cycle, which is not modelled: write its moves out"
	case 170, 180, 190:
		return modalPlane, ""
	case 900, 910:
		return modalDistance, ""
	case 930, 940:
		return modalFeed, ""
	case 200, 210:
		return modalUnits, ""
	case 400:
		return modalCutter, ""
	case 410, 420:
		return modalCutter, "is cutter radius compensation, which is not modelled: write the path of the cutter's centre"
	case 430, 490:
		return modalLength, ""
	case 980, 990:
		return modalReturn, "" // for canned cycles alone, which are refused
	case 540:
		return modalOrigin, ""
	case 550, 560, 570, 580, 590, 591, 592, 593:
		// Also where the program sets that origin itself: it does so in the machine's
		// own coordinates, in which the place of G54's origin is not known.
		return modalOrigin, "selects an origin whose distance from that of G54 is not known"
	case 610, 611, 640:
		return modalPath, ""
	case 40, 920, 921, 922, 923:
		return modalNone, ""
	case 100:
		return modalNone, "moves an origin in the machine's own coordinates, whose place is not known"
	case 280, 300:
		return modalNone, "goes to a home position whose place is not known"
	case 530:
		return modalNone, "moves in the machine's own coordinates, whose place is not known"
	}
	return -1, ""
}

// modalM returns the group of an M code, -1 where the report has no such code,
// and why the code is refused where it is not modelled.
func modalM(code int) (group int, refused string) {
	switch code {
	case 0, 1, 2, 30:
		return modalStop, ""
	case 60:
		return modalStop, "exchanges pallets in the middle of the work, which is not modelled"
	case 6:
		return modalChange, ""
	case 3, 5:
		return modalSpindle, ""
	case 4:
		return modalSpindle, "turns the cutter backwards, so that it does not cut"
	case 7, 8, 9:
		return modalCoolant, ""
	case 48, 49:
		// Whether the operator may turn a dial changes nothing that the text says.
		return modalOverrides, ""
	}
	return -1, ""
}

// modalMotionNone is the motion mode before any: what ran before may have left
// any mode on.
const modalMotionNone = -1

// modalState is the state of the machine between two lines.
type modalState struct {
	motion      int // G code in tenths
	plane       path.Plane
	incremental bool
	inverse     bool
	units       machines.Unit
	unit        float64 // mm; 0 before G20 or G21
	feed        float64 // of G94, mm/min; 0 where there is none
	noFeed      string  // why there is none
	speed       float64 // NaN before any S
	on          bool    // M3
	coolant     bool
	selected    int // by T; -1 where none was
	cutter      int // by M6; -1 where none was
	pathMode    string

	at     [3]float64 // of the tip, in the face frame; NaN where not known
	origin [3]float64 // of the program's coordinates in the face frame: the G92 offsets and the shift
	shift  [3]float64 // the shift alone
	saved  [3]float64 // the origin that the stored offsets (parameters 5211 to 5213) give
	stored bool       // are they known?
}

// modalStart returns the state before a program (see Read).
func modalStart(at [3]float64, shift float64) modalState {
	s := modalState{motion: modalMotionNone, noFeed: "no F has been read yet",
		speed: math.NaN(), selected: -1, cutter: -1, at: at, shift: [3]float64{0, 0, shift + 0}}
	for i := range s.at {
		s.at[i] += 0 // so that no zero is negative
	}
	s.origin = s.shift
	return s
}

// turns reports whether the spindle turns: it may be on at speed 0 (3.6.2).
func (s *modalState) turns() bool { return s.on && s.speed > 0 }

// left returns what end would restore and is on, and the word that takes it back; both
// are empty where there is nothing. The motion mode is no part of it: a program that
// relies on the one it finds is refused.
func (s *modalState) left() (what, word string) {
	switch {
	case s.origin != s.shift:
		return "an offset of G92", "G92.2"
	case s.plane != path.XY:
		return fmt.Sprintf("the %v plane", s.plane), "G17"
	case s.incremental:
		return "G91", "G90"
	case s.inverse:
		return "G93", "G94"
	case s.on:
		return "the spindle", "M5"
	case s.coolant:
		return "the coolant", "M9"
	}
	return "", ""
}

// end restores what M2 and M30 restore (3.6.1).
func (s *modalState) end() {
	s.origin = s.shift
	s.plane = path.XY
	s.incremental, s.inverse = false, false
	s.on, s.coolant = false, false
	s.motion = 10
}
