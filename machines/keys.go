package machines

import (
	"fmt"
	"slices"
	"strings"

	"dishwright/dish/measure/keys"
)

// Keys returns the catalogue of a profile's keys. The limits are wide of any hobby router;
// they catch a slip of the unit or of a digit, and keep every later sum finite.
func Keys() *keys.Catalogue { return catalogue }

const maxEntries = 30 // collets, dial settings

var catalogue = keys.New("a machine profile",
	keys.Group{About: "the machine", Keys: machineKeys},
	keys.Group{About: "its spindle", Keys: spindleKeys},
	keys.Group{About: "its controller", Keys: controllerKeys},
	keys.Group{About: "what is known to be wrong with it", Keys: errorKeys},
)

// axisKeys returns the key of each axis below a key, with its examples.
func axisKeys(k keys.Key, examples ...string) (list []keys.Key) {
	for i, axis := range [...]string{"x", "y", "z"} {
		one := k
		one.Path += "/" + axis
		one.About, one.Example = strings.ReplaceAll(k.About, "AXIS", strings.ToUpper(axis)), examples[i]
		list = append(list, one)
	}
	return list
}

// machineKeys say what it is, how far and how fast it moves.
var machineKeys = slices.Concat(
	[]keys.Key{
		{Path: "name", Kinds: []keys.Kind{keys.Text}, Needed: true, Example: "my-router",
			About: "What the machine is called in programs and reports."},
		{Path: "about", Kinds: []keys.Kind{keys.Text}, Example: "shop-built, with a trim router",
			About: "A sentence on what it is."},
		{Path: "units", Kinds: []keys.Kind{keys.Word}, Words: []string{"mm", "in"}, Default: "as the travel is written", Why: "inches where every axis is in inches or feet", Example: "mm",
			About: "The unit that its programs are written in."},
		{Path: "travel", Kinds: []keys.Kind{keys.Map}, Needed: true, Example: "{x: 600 mm, y: 600 mm, z: 90 mm}",
			About: "How far each axis moves, between its stops or switches."},
	},
	axisKeys(keys.Key{Path: "travel", Kinds: []keys.Kind{keys.Length}, Least: 1, Most: 5000, Needed: true, About: "How far AXIS moves."}, "600 mm", "600 mm", "90 mm"),
	[]keys.Key{
		{Path: "under gantry", Kinds: []keys.Kind{keys.Length}, Least: 1, Most: 5000, Example: "85 mm",
			About: "From the bed to the lowest part of the gantry: what a blank and its hold-downs pass under."},
		{Path: "between uprights", Kinds: []keys.Kind{keys.Length}, Least: 1, Most: 5000, Example: "700 mm",
			About: "How wide a blank may be, along X. A blank may be larger than the travel where the cutter need not reach its edge."},
		{Path: "feed", Kinds: []keys.Kind{keys.Map, keys.Feed}, Least: 1, Most: 1e5, From: 750, To: 12_000, Needed: true, Example: "{x: 3000 mm/min, y: 3000 mm/min, z: 1000 mm/min}",
			About: "The highest feed of each axis while it cuts; one feed alone is that of X and Y."},
	},
	axisKeys(keys.Key{Path: "feed", Kinds: []keys.Kind{keys.Feed}, Least: 1, Most: 1e5, Needed: true, About: "The highest feed of AXIS."}, "3000 mm/min", "3000 mm/min", "1000 mm/min"),
	[]keys.Key{
		{Path: "rapid", Kinds: []keys.Kind{keys.Map}, Default: "the feed of each axis", Why: "how much faster it traverses than it cuts is not known; times count on it", Example: "{x: 5000 mm/min, y: 5000 mm/min, z: 1500 mm/min}",
			About: "How fast each axis moves in a traverse, no slower than its feed."},
	},
	axisKeys(keys.Key{Path: "rapid", Kinds: []keys.Kind{keys.Feed}, Least: 1, Most: 1e5, Needed: true, About: "The traverse of AXIS."}, "5000 mm/min", "5000 mm/min", "1500 mm/min"),
	[]keys.Key{
		{Path: "acceleration", Kinds: []keys.Kind{keys.Map}, Default: "150, 250 or 400 mm/s2, Z 0.6 of it", Why: "by the longer travel, up to 450 mm, up to 900 mm or more (common practice, from memory); times count on it", Example: "{x: 250 mm/s2, y: 250 mm/s2, z: 150 mm/s2}",
			About: "How quickly each axis comes up to speed, as the controller is set."},
	},
	axisKeys(keys.Key{Path: "acceleration", Kinds: []keys.Kind{keys.Acceleration}, Least: 1, Most: 50_000, Needed: true, About: "The acceleration of AXIS."}, "250 mm/s2", "250 mm/s2", "150 mm/s2"),
)

// spindleKeys say what turns the cutter, holds it and moves with it.
var spindleKeys = []keys.Key{
	{Path: "spindle", Kinds: []keys.Kind{keys.Map}, Needed: true, Example: "{slowest: 8000, fastest: 24000}",
		About: "What turns the cutter: slowest and fastest of a spindle that S and M3 drive, or the dial of a hand router."},
	{Path: "spindle/slowest", Kinds: []keys.Kind{keys.Number}, Least: 100, Most: 1e5, Default: "that of the dial", Why: "it must stand here where there is no hand router", Example: "8000", About: "Its slowest speed, rpm."},
	{Path: "spindle/fastest", Kinds: []keys.Kind{keys.Number}, Least: 100, Most: 1e5, Default: "that of the dial", Why: "it must stand here where there is no hand router", Example: "24000", About: "Its fastest speed, rpm."},
	{Path: "spindle/hand router", Kinds: []keys.Kind{keys.Map}, Fewest: 1, Entries: maxEntries, Counts: "setting", Beyond: fmt.Sprintf("a hand router must list 1 to %d settings of its dial", maxEntries), Within: "write hand router: {1: 10000, 2: 14000}", Example: "{1: 10000, 2: 14000, 3: 18000}",
		About: "The dial of a hand router, from slow to fast: each setting with its speed. Programs then name the dial and switch nothing."},
	{Path: "spindle/hand router/*", Kinds: []keys.Kind{keys.Number}, Least: 100, Most: 1e5, Example: "10000", About: "The speed at a setting of the dial, rpm. The setting is what stands on the dial: at most 10 letters, digits, points and hyphens."},
	{Path: "spindle/start", Told: "spindle/start", Kinds: []keys.Kind{keys.Time}, Most: 120, Default: "5 s", Why: "most come up to speed in less (common practice, from memory)", Example: "5 s", About: "How long it takes to come up to speed."},
	{Path: "collets", Kinds: []keys.Kind{keys.List}, Fewest: 1, Entries: maxEntries, Counts: "size", Beyond: fmt.Sprintf("collets must list 1 to %d sizes", maxEntries), Within: "write collets: [6 mm, 1/4 in]", Default: "6 mm and 1/4 in; of a driven spindle 1/2 in too", Why: "the usual ones (common practice, from memory)", Example: "[6 mm, 1/4 in]",
		About: "The shanks that it takes, at most 30."},
	{Path: "collets/#", Kinds: []keys.Kind{keys.Length}, Least: 0.5, Most: 30, Example: "1/4 in", About: "One shank's diameter."},
	{Path: "holder", Kinds: []keys.Kind{keys.Map}, Words: []string{"none"}, Default: "none", Why: "it is not known, so nothing keeps the collet nut clear of clamps and of what stands", Example: "{diameter: 32 mm, length: 40 mm}",
		About: "The collet nut and the nose of the spindle above the cutter, as one cylinder."},
	{Path: "holder/diameter", Kinds: []keys.Kind{keys.Length}, Least: 1, Most: 500, Needed: true, Example: "32 mm", About: "Across its widest part."},
	{Path: "holder/length", Kinds: []keys.Kind{keys.Length}, Least: 1, Most: 500, Needed: true, Example: "40 mm", About: "How far up it goes."},
	{Path: "hood", Kinds: []keys.Kind{keys.Map}, Example: "{diameter: 100 mm, above tip: 25 mm}",
		About: "A dust hood that moves with the spindle."},
	{Path: "hood/diameter", Kinds: []keys.Kind{keys.Length}, Least: 1, Most: 500, Needed: true, Example: "100 mm", About: "Across it."},
	{Path: "hood/above tip", Kinds: []keys.Kind{keys.Length}, Most: 500, Needed: true, Example: "25 mm", About: "How far its lower edge stands above the cutter's tip."},
}

// controllerKeys say how the controller runs a program and how it is written.
var controllerKeys = []keys.Key{
	{Path: "corner rounding", Former: "deviation", Kinds: []keys.Kind{keys.Length}, Most: 1, Default: "0.02 mm, or 0.001 in", Why: "nothing is known of the controller; the certificate leaves it to the controller, and times count on it", Example: "0.02 mm",
		About: "How far the controller rounds corners as it is set up: what the builder states of it."},
	{Path: "path mode", Kinds: []keys.Kind{keys.Text}, Words: []string{"none"}, Default: "none", Why: "no word of that group is written: many controllers refuse some", Example: "none",
		About: "The line that selects how corners are taken: none, or G61, G61.1 or G64, after it at most a word P and a word Q with a number. It is written as it stands."},
	{Path: "dwell", Kinds: []keys.Kind{keys.Word}, Words: []string{"seconds", "milliseconds", "none"}, Default: "seconds", Why: "as the standard has it", Example: "seconds",
		About: "What the number after G4 P counts; none where the controller takes no G4."},
	{Path: "longest line", Kinds: []keys.Kind{keys.Whole}, Least: 64, Most: 256, Default: "80", Why: "what small controllers hold", Example: "80",
		About: "How many characters a line of a program may have, comments too: at least 80 with arcs, 64 without."},
	{Path: "arcs", Kinds: []keys.Kind{keys.YesNo}, Default: "no", Why: "straight moves are what every controller takes", Example: "no",
		About: "Whether G2 and G3 are written."},
	{Path: "decimals", Kinds: []keys.Kind{keys.Whole}, Least: 3, Most: 6, Default: "4 in mm, 5 in inches", Why: "enough for heights, and for arcs that no controller refuses", Example: "4",
		About: "How many decimals coordinates have, in the unit of the programs."},
}

// errorKeys say what the machine does other than it is told.
var errorKeys = slices.Concat(
	[]keys.Key{
		{Path: "errors", Kinds: []keys.Kind{keys.Map}, Example: "{scale: {x: 0.12 mm per 100 mm}, known within: 0.02 mm per 100 mm}",
			About: "What the machine does other than it is told, as it was measured: see dishwright manual accuracy."},
		{Path: "errors/scale", Kinds: []keys.Kind{keys.Map}, Example: "{x: 0.12 mm per 100 mm}", About: "By how much each axis goes too far; too short is below zero."},
	},
	axisKeys(keys.Key{Path: "errors/scale", Kinds: []keys.Kind{keys.Slope}, Least: -2, Most: 2, Default: "0 mm per 100 mm", Why: "none is known", About: "By how much AXIS goes too far."}, "0.12 mm per 100 mm", "0.12 mm per 100 mm", "0.12 mm per 100 mm"),
	[]keys.Key{
		{Path: "errors/lean", Kinds: []keys.Kind{keys.Slope}, Least: -2, Most: 2, Default: "0 mm per 100 mm", Why: "none is known", Example: "0.05 mm per 100 mm", About: "By how much Y leans towards +X."},
		{Path: "errors/backlash", Kinds: []keys.Kind{keys.Map}, Example: "{x: 0.08 mm, y: 0.05 mm}", About: "What each axis loses where it turns round."},
	},
	axisKeys(keys.Key{Path: "errors/backlash", Kinds: []keys.Kind{keys.Length}, Most: 2, Default: "0 mm", Why: "none is known", About: "What AXIS loses."}, "0.08 mm", "0.05 mm", "0.02 mm"),
	[]keys.Key{
		{Path: "errors/known within", Kinds: []keys.Kind{keys.Slope}, Most: 2, Default: "0 mm per 100 mm", Why: "as it was measured", Example: "0.02 mm per 100 mm", About: "How well scale and lean are known."},
		{Path: "errors/corrected", Kinds: []keys.Kind{keys.YesNo}, Default: "no", Why: "plans are for the machine as it is", Example: "yes", About: "Whether programs are laid so that scale and lean come out right."},
		{Path: "bed", Kinds: []keys.Kind{keys.List}, Fewest: 3, Entries: 100, Counts: "place", Beyond: "%s cannot make a plane", Within: "%s places, far apart", Example: "[{x: -200 mm, y: -200 mm, z: 0 mm}, {x: 200 mm, y: -200 mm, z: 0.1 mm}, {x: 200 mm, y: 200 mm, z: 0.25 mm}, {x: -200 mm, y: 200 mm, z: 0.05 mm}]",
			About: "Three or more places of the bed as the machine sees it, as fit tells them from dishwright readings --of bed. X and Y count from the middle of the travel, where X0 Y0 of a job in one setup stands: with X0 Y0 elsewhere they say nothing. Heights count to one another, whatever they count from. Programs are not corrected: check tells how a blank lies there."},
		{Path: "bed/#", Kinds: []keys.Kind{keys.Map}, Example: "{x: -200 mm, y: -200 mm, z: 0 mm}", About: "One place."},
		{Path: "bed/#/x", Kinds: []keys.Kind{keys.Length}, Least: -5000, Most: 5000, Needed: true, Example: "-200 mm", About: "X as the machine shows it, from the middle of its travel."},
		{Path: "bed/#/y", Kinds: []keys.Kind{keys.Length}, Least: -5000, Most: 5000, Needed: true, Example: "-200 mm", About: "Y likewise."},
		{Path: "bed/#/z", Kinds: []keys.Kind{keys.Length}, Least: -20, Most: 20, Needed: true, Example: "0.1 mm", About: "How high the bed lies there."},
	},
)
