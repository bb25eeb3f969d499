package key

// depthPlaces are where a side's width may be measured.
var depthPlaces = []string{"head", "tail", "left upper bout", "right upper bout", "left waist", "right waist", "left lower bout", "right lower bout", "left widest", "right widest"}

// DepthPlaces returns the places at which a side's width may be measured.
func DepthPlaces() []string { return append([]string(nil), depthPlaces...) }

// rimKeys are those of the sanding of a rim.
var rimKeys = append([]Key{
	{Path: "outline", Forms: rims, Kinds: []Kind{Map}, Needed: true, Example: "{file: body.csv, curve: smooth}", About: "The outside of the sides from above: one of file, points, path, or the four widths."},
	{Path: "outline/file", Forms: rims, Kinds: []Kind{Text}, Example: "body.csv", About: "A table with the columns x_mm,y_mm (or _in, _cm, _m, _ft): from the tail along the centre line, half width; or an SVG drawing with scale."},
	{Path: "outline/points", Forms: rims, Kinds: []Kind{List}, Example: "[[0 mm, 0 mm], [3 mm, 30 mm], …]", About: "The points themselves, each along the centre line from the tail and across; plain numbers where unit is given."},
	{Path: "outline/points/#", Forms: rims, Kinds: []Kind{Place}, Example: "[3 mm, 30 mm]", About: "One point."},
	{Path: "outline/path", Forms: rims, Kinds: []Kind{Text}, Example: "M0 0 C…", About: "The data of an SVG path that begins at the tail; an open one is one half."},
	{Path: "outline/curve", Forms: rims, Kinds: []Kind{Word}, Words: []string{"smooth", "straight"}, Default: "smooth", Why: "as sides bend", Example: "smooth", About: "How the points are joined."},
	{Path: "outline/unit", Forms: rims, Kinds: []Kind{Word}, Words: []string{"mm", "cm", "m", "in", "ft"}, Example: "mm", About: "The unit of plain numbers in points."},
	{Path: "outline/scale", Forms: rims, Kinds: []Kind{Length}, Least: 1e-4, Most: 1000, Rule: true, Example: "1 mm", About: "What one unit of a drawing is."},
	{Path: "outline/head", Forms: rims, Kinds: []Kind{Place}, Example: "[470, 0]", About: "Where the head lies on a closed drawing, two plain numbers in its own units."},
	{Path: "outline/upper bout", Forms: rims, Kinds: []Kind{Length}, Least: 10, Most: 5000, Rule: true, Example: "280 mm", About: "Width of the upper bout, with waist, lower bout and length."},
	{Path: "outline/waist", Forms: rims, Kinds: []Kind{Length}, Least: 10, Most: 5000, Rule: true, Example: "240 mm", About: "Width of the waist."},
	{Path: "outline/lower bout", Forms: rims, Kinds: []Kind{Length}, Least: 10, Most: 5000, Rule: true, Example: "380 mm", About: "Width of the lower bout."},
	{Path: "outline/length", Forms: rims, Kinds: []Kind{Length}, Least: 10, Most: 5000, Rule: true, Example: "490 mm", About: "Length of the body."},
	{Path: "top", Forms: rims, Kinds: []Kind{Map}, Needed: true, Example: "{radius: 28 ft, apex: 310 mm}", About: "The face of the top."},
	{Path: "top/radius", Forms: rims, Kinds: []Kind{Length}, Words: []string{"flat"}, Least: 200, Most: 100_000, From: leastDome, To: mostDome, Needed: true, Example: "28 ft", About: "Its radius, or flat."},
	{Path: "top/apex", Forms: rims, Kinds: []Kind{Length, Place}, Words: []string{"at the widest"}, Default: "at the widest", Why: "where the plate is braced", Rule: true, Example: "310 mm", About: "Where it is highest: from the tail on the centre line, a place [x, y], or at the widest."},
	{Path: "top/shape", Forms: rims, Kinds: []Kind{Word}, Words: []string{"sphere", "cylinder across", "cylinder along"}, Default: "sphere", Why: "as a dish is", Example: "sphere", About: "A sphere, or bent one way only."},
	{Path: "top/flat above", Forms: rims, Kinds: []Kind{Text}, Example: "380 mm from tail", About: "From where on toward the head the top is kept flat."},
	{Path: "top/blend", Forms: rims, Kinds: []Kind{Length}, Least: 1, Most: 5000, Default: "40 mm", Why: "a change that a plate follows", Told: "blend", Example: "40 mm", About: "Over which length dome and flat run into one another."},
	{Path: "back", Forms: rims, Kinds: []Kind{Map}, Needed: true, Example: "{radius: 15 ft}", About: "The face of the back. Both depths fix it, or its apex and one of them."},
	{Path: "back/radius", Forms: rims, Kinds: []Kind{Length}, Words: []string{"flat"}, Least: 200, Most: 100_000, From: leastDome, To: mostDome, Needed: true, Example: "15 ft", About: "Its radius, or flat."},
	{Path: "back/apex", Forms: rims, Kinds: []Kind{Length, Place}, Words: []string{"at the widest"}, Default: "as the depths imply", Why: "both depths fix it", Rule: true, Example: "250 mm", About: "Where it is deepest."},
	{Path: "back/shape", Forms: rims, Kinds: []Kind{Word}, Words: []string{"sphere", "cylinder across", "cylinder along"}, Default: "sphere", Why: "as a dish is", Example: "sphere", About: "A sphere, or bent one way only."},
	{Path: "depth", Forms: rims, Kinds: []Kind{Map}, Needed: true, Example: "{head: 80 mm, tail: 95 mm}", About: "Width of the side on the centre line, finished."},
	{Path: "depth/head", Forms: rims, Kinds: []Kind{Length}, Least: 5, Most: 500, Rule: true, Example: "80 mm", About: "At the head."},
	{Path: "depth/tail", Forms: rims, Kinds: []Kind{Length}, Least: 5, Most: 500, Rule: true, Example: "95 mm", About: "At the tail."},
	{Path: "sides", Forms: rims, Shop: true, Kinds: []Kind{Length}, Least: 0.5, Most: 20, Default: "2.2 mm", Why: "usual for bent sides", Source: practice, Example: "2.2 mm", About: "Thickness of the sides."},
	{Path: "lining", Forms: rims, Shop: true, Kinds: []Kind{Map}, Example: "{width: 6 mm, height: 15 mm}", About: "What the plate is glued to inside the sides."},
	{Path: "lining/width", Forms: rims, Shop: true, Kinds: []Kind{Length}, Most: 100, Example: "6 mm", About: "How far it stands in from the sides."},
	{Path: "lining/height", Forms: rims, Shop: true, Kinds: []Kind{Length}, Most: 100, Example: "15 mm", About: "How far down it reaches."},
	{Path: "blocks", Forms: rims, Kinds: []Kind{Map}, Example: "{head: 60 mm, tail: 20 mm}", About: "Thickness of the blocks along the centre line, from the inside of the sides."},
	{Path: "blocks/head", Forms: rims, Kinds: []Kind{Length}, Least: 1, Most: 300, Example: "60 mm", About: "Of the head block."},
	{Path: "blocks/tail", Forms: rims, Kinds: []Kind{Length}, Least: 1, Most: 300, Example: "20 mm", About: "Of the tail block."},
	{Path: "start", Forms: rims, Kinds: []Kind{Map}, Default: "{allowance: 1.5 mm}", Why: "cut close to the line before bending", Source: practice, Example: "{allowance: 1.5 mm}", About: "The rim before sanding: one of flat, allowance and file."},
	{Path: "start/flat", Forms: rims, Kinds: []Kind{Length}, Least: 5, Most: 500, Example: "100 mm", About: "Cut flat, so high above the plane that the back's edge stands on."},
	{Path: "start/allowance", Forms: rims, Kinds: []Kind{Length}, Most: 100, Example: "1.5 mm", About: "Cut to its pattern with so much to spare."},
	{Path: "start/file", Forms: rims, Kinds: []Kind{Text}, Example: "heights.csv", About: "As measured: a table with the columns arc_mm,top_mm."},
	{Path: "braces", Forms: rims, Kinds: []Kind{Map}, Entries: 60, Counts: "brace", Example: "{lower cross: {from: [250 mm, -140 mm], to: [390 mm, 120 mm], width: 8 mm, end height: 3 mm}}", About: "Braces that are let into the lining, each under its name, at most 60."},
	{Path: "braces/*", Forms: rims, Kinds: []Kind{Map}, Example: "{from: [250 mm, -140 mm], to: [390 mm, 120 mm], width: 8 mm, end height: 3 mm}", About: "One brace."},
	{Path: "braces/*/from", Forms: rims, Kinds: []Kind{Place}, Needed: true, Example: "[250 mm, -140 mm]", About: "One end: along the centre line from the tail, and across."},
	{Path: "braces/*/to", Forms: rims, Kinds: []Kind{Place}, Needed: true, Example: "[390 mm, 120 mm]", About: "The other end."},
	{Path: "braces/*/width", Forms: rims, Kinds: []Kind{Length}, Least: 0.5, Most: 100, Needed: true, Example: "8 mm", About: "How wide it is."},
	{Path: "braces/*/end height", Forms: rims, Kinds: []Kind{Length}, Most: 100, Needed: true, Example: "3 mm", About: "How high it is where it is let in."},
	{Path: "step", Forms: rims, Shop: true, Kinds: []Kind{Length}, Least: 0.5, Most: 1000, Default: "10 mm", Why: "close enough to draw a line by", Example: "10 mm", About: "Between the stations of the table."},
	{Path: "trim", Forms: rims, Shop: true, Kinds: []Kind{Map}, Example: "{head: 10 mm, tail: 10 mm}", About: "What is left on the ends of the sides."},
	{Path: "trim/head", Forms: rims, Shop: true, Kinds: []Kind{Length}, Most: 100, Example: "10 mm", About: "At the head."},
	{Path: "trim/tail", Forms: rims, Shop: true, Kinds: []Kind{Length}, Most: 100, Example: "10 mm", About: "At the tail."},
	{Path: "measured", Forms: rims, Kinds: []Kind{Map}, Example: "{head: 81 mm, tail: 97 mm}", About: "Widths of the side now, while sanding: they tell which end or side to press."},
	{Path: "dish", Forms: rims, Kinds: []Kind{Map}, Example: "{radius: 28 ft, diameter: 620 mm, swing: 40 mm}", About: "The dish that the rim is sanded in: whether it is large enough and has the radius."},
	{Path: "dish/radius", Forms: rims, Kinds: []Kind{Length}, Least: 200, Most: 100_000, From: leastDome, To: mostDome, Default: "the top's", Why: "made for it", Example: "28 ft", About: "Its own radius."},
	{Path: "dish/diameter", Forms: rims, Kinds: []Kind{Length}, Least: 20, Most: 3000, From: leastFace, To: mostFace, Needed: true, Example: "620 mm", About: "Across it."},
	{Path: "dish/swing", Forms: rims, Kinds: []Kind{Length}, Most: 3000, Default: "40 mm", Why: "a hand's breadth back and forth", Source: practice, Told: "swing", Example: "40 mm", About: "How far the rim is moved to either side."},
	{Path: "board", Forms: rims, Kinds: []Kind{Map}, Example: "{length: 500 mm, width: 80 mm}", About: "The board that the rim is sanded with, in place of a dish."},
	{Path: "board/radius", Forms: rims, Kinds: []Kind{Length}, Least: 200, Most: 100_000, From: leastDome, To: mostDome, Default: "the top's", Why: "made for it", Example: "28 ft", About: "Its own radius."},
	{Path: "board/length", Forms: rims, Kinds: []Kind{Length}, Least: 20, Most: 3000, Needed: true, Example: "500 mm", About: "Along it."},
	{Path: "board/width", Forms: rims, Kinds: []Kind{Length}, Least: 5, Most: 3000, Needed: true, Example: "80 mm", About: "Across it."},
	{Path: "board/swing", Forms: rims, Kinds: []Kind{Length}, Most: 3000, Default: "40 mm", Why: "a hand's breadth back and forth", Source: practice, Told: "swing", Example: "40 mm", About: "How far it is moved to either side."},
	{Path: "plate/radius", Forms: rims, Kinds: []Kind{Length}, Words: []string{"flat"}, Least: 200, Most: 100_000, From: leastDome, To: mostDome, Needed: true, Example: "27 ft", About: "Radius of the plate that will be glued on, or flat: how it lies dry."},
	{Path: "clamps", Forms: rims, Shop: true, Kinds: []Kind{Map}, Example: "{spacing: 40 mm, each: 8 s}", About: "How the plate is clamped."},
	{Path: "clamps/spacing", Forms: rims, Shop: true, Kinds: []Kind{Length}, Least: 5, Most: 5000, Default: "40 mm", Why: "common practice: a clamp every 40 mm", Told: "spacing", Example: "40 mm", About: "From clamp to clamp."},
	{Path: "clamps/each", Forms: rims, Shop: true, Kinds: []Kind{Time}, Most: 3600, Default: "8 s", Why: "to set one", Source: practice, Example: "8 s", About: "How long one takes to set."},
	{Path: "glue", Forms: rims, Shop: true, Kinds: []Kind{Map}, Example: "{open time: 8 min}", About: "The glue that the plate is put on with."},
	{Path: "glue/open time", Forms: rims, Shop: true, Kinds: []Kind{Time}, Needed: true, Example: "8 min", About: "How long it stays open, by its label."},
	{Path: "cut", Forms: []string{Mould}, Kinds: []Kind{Word}, Words: []string{"mould"}, Example: "mould", About: "The edge of a solid mould is cut to the top's dome. Sides themselves are sanded, never cut."},
	{Path: "mould", Forms: []string{Mould}, Kinds: []Kind{Map}, Needed: true, Example: "{wall: 22 mm}", About: "The mould whose edge is cut."},
	{Path: "mould/wall", Forms: []string{Mould}, Kinds: []Kind{Length}, Least: 3, Most: 200, Needed: true, Example: "22 mm", About: "How wide its edge is, outside the outline."},
}, measured()...)

// measured makes a key of each place at which a width may be measured.
func measured() (list []Key) {
	for _, p := range depthPlaces {
		list = append(list, Key{Path: "measured/" + p, Forms: rims, Kinds: []Kind{Length}, Least: 1, Most: 500, Example: "81 mm", About: "Width of the side at this place."})
	}
	return list
}
