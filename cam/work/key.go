package work

import (
	"strconv"

	"dishwright/cam/path"
	"dishwright/dish"
)

// Key names what of a job a problem is about: the place in the job file, parts joined
// by "/". Here alone the planner knows of such places.
type Key string

// The keys that do not depend on a name or a number.
const (
	KeyAllowance  Key = "allowance"
	KeyCentreHole Key = "extras/centre hole"
	KeyDiameter   Key = "diameter"
	KeyDirection  Key = "direction"
	KeyExtras     Key = "extras"
	KeyFloor      Key = "floor"
	KeyIndexError Key = "index error"
	KeyLength     Key = "length"
	KeyMachine    Key = "machine"
	KeyPattern    Key = "pattern"
	KeyRadius     Key = "radius"
	KeyRough      Key = "rough"
	KeyScallop    Key = "scallop"
	KeySetups     Key = "setups"
	KeyShelf      Key = "shelf"
	KeySkim       Key = "skim"
	KeyThickness  Key = "blank/thickness"
	KeyTilt       Key = "spindle tilt"
	KeyTopRadius  Key = "top/radius"
	KeyTouchOn    Key = "touch off/on"
	KeyUndersize  Key = "undersize"
	KeyWall       Key = "mould/wall"
	KeyWidth      Key = "width"
	KeyZero       Key = "zero"
)

// CutterKey is the key of a cutter of the shelf.
func CutterKey(name string) Key { return KeyShelf + "/" + Key(name) }

// DepthOfCutKey is the key of a cutter's depth of cut.
func DepthOfCutKey(c path.Cutter) Key { return CutterKey(c.Name) + "/depth of cut" }

// DiameterKey is the key of a cutter's diameter.
func DiameterKey(c path.Cutter) Key    { return CutterKey(c.Name) + "/diameter" }
func fluteLengthKey(c path.Cutter) Key { return CutterKey(c.Name) + "/flute length" }

// CoreKey is the key of a cutter's core.
func CoreKey(c path.Cutter) Key { return CutterKey(c.Name) + "/core" }

// RampKey is the key of a cutter's ramp.
func RampKey(c path.Cutter) Key     { return CutterKey(c.Name) + "/ramp" }
func shankKey(c path.Cutter) Key    { return CutterKey(c.Name) + "/shank" }
func speedKey(c path.Cutter) Key    { return CutterKey(c.Name) + "/speed" }
func stickOutKey(c path.Cutter) Key { return CutterKey(c.Name) + "/stick out" }

// HoldDownKey and ObstacleKey are the keys of those that stand about, counted from 0.
func HoldDownKey(i int) Key { return Key("hold downs/" + strconv.Itoa(i)) }

// ObstacleKey is the key of an obstacle, counted from 0.
func ObstacleKey(i int) Key { return Key("obstacles/" + strconv.Itoa(i)) }

// sizeKey is the key of a blank's size, of a rectangle that of the side along Y or X.
func sizeKey(b dish.Blank, alongY bool) Key {
	switch {
	case b.Shape == dish.Round:
		return "blank/diameter"
	case b.Shape != dish.Rectangle:
		return "blank/size"
	case alongY:
		return "blank/width"
	}
	return "blank/length"
}
