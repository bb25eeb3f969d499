package post

import "math"

// The numbered parameters (3.2.1): 1 to 5399, those from readerSystem on belong
// to the machine (homes, origins, offsets).
const (
	readerSystem    = 5161
	readerLastParam = 5399
)

// readerNearInteger is how near a value must be to an integer where one is
// wanted (3.3.2.1).
const readerNearInteger = 0.0001

// readerParams are the parameters that the program has set. The machine keeps
// the others from one program to the next, so that their values are not known.
type readerParams struct {
	value [readerSystem]float64
	known [readerSystem]bool
}

// readerSetting is a setting that waits for the end of its line (3.3.3).
type readerSetting struct {
	index int
	value float64
}

// readValue reads a real value at p (3.3.2): a number, a parameter, an expression or
// a function. It returns the place after it and its blanks. The depth of the
// recursion is bounded by the length of a line.
func (x *reader) readValue(line []byte, p int) (v float64, next int, err error) {
	p = lexSkip(line, p)
	switch c := line[p]; {
	case c == '[':
		return x.expression(line, p)
	case c == '#':
		at := p
		index, p, err := x.parameterIndex(line, p+1)
		if err != nil {
			return 0, p, err
		}
		if !x.params.known[index] {
			return 0, p, x.fail(at+1, "set it in the program first",
				"#%d is read before the program sets it: its value is left over from whatever the machine ran before (3.2.1)", index)
		}
		return x.params.value[index], p, nil
	case lexIsLetter(c):
		return x.function(line, p)
	}
	v, next, ok := lexNumber(line, p)
	if !ok {
		return 0, next, x.missingValue(line, p)
	}
	return v, next, nil
}

// missingValue returns the fault of a place where a value should stand.
func (x *reader) missingValue(line []byte, p int) error {
	q := p
	if line[p] == '-' || line[p] == '+' {
		q = lexSkip(line, p+1)
	}
	switch c := line[q]; {
	case q > p && (c == '[' || c == '#' || lexIsLetter(c)):
		return x.fail(p+1, "write [0 - ...]", "a sign may stand before a number only (3.3.2)")
	case c == '\n':
		return x.fail(p+1, "", "a number is missing at the line's end")
	case lexUnknown(c):
		return x.unknownCharacter(line, q)
	default:
		return x.fail(p+1, "", "a number should stand here, not %q (3.3.2)", c)
	}
}

// parameterIndex reads the number of a parameter, behind its #.
func (x *reader) parameterIndex(line []byte, p int) (index, next int, err error) {
	p = lexSkip(line, p)
	v, next, err := x.readValue(line, p)
	if err != nil {
		return 0, next, err
	}
	i := math.Round(v)
	switch {
	case math.Abs(v-i) > readerNearInteger || i < 1 || i > readerLastParam:
		return 0, next, x.fail(p+1, "", "%g is not the number of a parameter: 1 to %d (3.3.2.2)", v, readerLastParam)
	case i >= readerSystem:
		return 0, next, x.fail(p+1, "use the parameters below 5000",
			"#%d belongs to the machine (homes, origins and offsets): its effect is not modelled", int(i))
	}
	return int(i), next, nil
}

// expression reads from a [ at p to its ] (3.3.2.3).
func (x *reader) expression(line []byte, p int) (v float64, next int, err error) {
	open := p
	v, p, err = x.operations(line, p+1, 1)
	if err != nil {
		return 0, p, err
	}
	switch c := line[p]; {
	case c == ']':
		return v, lexSkip(line, p+1), nil
	case c == '\n':
		return 0, p, x.fail(open+1, "", "this bracket is not closed on its line (3.3.2.3)")
	case lexUnknown(c):
		return 0, p, x.unknownCharacter(line, p)
	case c == 'e' || c == 'E':
		return 0, p, x.fail(p+1, "write the number out in digits", "a number has no exponent in this language (3.3.2.1)")
	default:
		return 0, p, x.fail(p+1, "", "an operation or ] should stand here, not %q (3.3.2.3)", c)
	}
}

// operations reads values joined by operations that bind at least as tightly as
// level, from the left to the right: level 1 holds + - AND OR XOR, 2 holds * /
// MOD, 3 holds ** (3.3.2.3).
func (x *reader) operations(line []byte, p, level int) (v float64, next int, err error) {
	if v, p, err = x.readValue(line, p); err != nil {
		return 0, p, err
	}
	for {
		op, binds, after := readerOperation(line, p)
		if binds < level {
			return v, p, nil
		}
		at := p
		var w float64
		if w, p, err = x.operations(line, after, binds+1); err != nil {
			return 0, p, err
		}
		var fault string
		if v, fault = readerApply(op, v, w); fault != "" {
			return 0, p, x.fail(at+1, "", "%s", fault)
		}
	}
}

// readerOperation returns the operation at p, how tightly it binds (0 where
// there is none) and the place after it.
func readerOperation(line []byte, p int) (op byte, binds, next int) {
	switch c := lexUpper(line[p]); c {
	case '+', '-':
		return c, 1, p + 1
	case '/':
		return c, 2, p + 1
	case '*':
		if q := lexSkip(line, p+1); line[q] == '*' {
			return '^', 3, q + 1
		}
		return c, 2, p + 1
	}
	for _, w := range [...]struct {
		word  string
		binds int
	}{{"AND", 1}, {"OR", 1}, {"XOR", 1}, {"MOD", 2}} {
		if q, ok := lexWord(line, p, w.word); ok {
			return w.word[0], w.binds, q
		}
	}
	return 0, 0, p
}

// readerApply returns v op w, or what is wrong with it.
func readerApply(op byte, v, w float64) (result float64, fault string) {
	switch op {
	case '+':
		result = v + w
	case '-':
		result = v - w
	case '*':
		result = float64(v * w)
	case '/':
		if w == 0 {
			return 0, "this divides by zero"
		}
		result = v / w
	case 'M':
		if w == 0 {
			return 0, "this divides by zero"
		}
		// The remainder is never negative, as in the report's interpreter.
		if result = math.Mod(v, w); result < 0 {
			result += math.Abs(w)
		}
	case '^':
		if v < 0 && w != math.Floor(w) {
			return 0, "a negative number has no power that is not whole"
		}
		if v == 0 && w < 0 {
			return 0, "this divides by zero"
		}
		result = math.Pow(v, w)
	case 'A':
		result = readerTruth(v != 0 && w != 0)
	case 'O':
		result = readerTruth(v != 0 || w != 0)
	case 'X':
		result = readerTruth((v != 0) != (w != 0))
	}
	return readerFinite(result)
}

func readerTruth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// readerFinite returns v without the sign of a zero, or that it is too large.
func readerFinite(v float64) (float64, string) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, "the result is too large for a number"
	}
	return v + 0, ""
}

// readerFunctions are the functions of one value but ATAN (3.3.2.5), with
// angles in degrees.
var readerFunctions = [...]struct {
	name string
	f    func(float64) float64
	ok   func(float64) bool // nil where every value will do
}{
	{"ABS", math.Abs, nil},
	{"ACOS", func(v float64) float64 { return float64(math.Acos(v) * (180 / math.Pi)) }, readerInCosineRange},
	{"ASIN", func(v float64) float64 { return float64(math.Asin(v) * (180 / math.Pi)) }, readerInCosineRange},
	{"COS", func(v float64) float64 { return math.Cos(v * (math.Pi / 180)) }, nil},
	{"EXP", math.Exp, nil},
	{"FIX", math.Floor, nil},
	{"FUP", math.Ceil, nil},
	{"LN", math.Log, func(v float64) bool { return v > 0 }},
	{"ROUND", math.Round, nil},
	{"SIN", func(v float64) float64 { return math.Sin(v * (math.Pi / 180)) }, nil},
	{"SQRT", math.Sqrt, func(v float64) bool { return v >= 0 }},
	{"TAN", func(v float64) float64 { return math.Tan(v * (math.Pi / 180)) }, nil},
}

func readerInCosineRange(v float64) bool { return -1 <= v && v <= 1 }

// function reads a function and the expressions that it applies to (3.3.2.5).
func (x *reader) function(line []byte, p int) (v float64, next int, err error) {
	at := p
	if q, ok := lexWord(line, p, "ATAN"); ok {
		return x.arcTangent(line, q)
	}
	for _, f := range &readerFunctions {
		q, ok := lexWord(line, p, f.name)
		if !ok {
			continue
		}
		if v, p, err = x.argument(line, q); err != nil {
			return 0, p, err
		}
		if f.ok != nil && !f.ok(v) {
			return 0, p, x.fail(at+1, "", "%s has no value for %g", f.name, v)
		}
		var fault string
		if v, fault = readerFinite(f.f(v)); fault != "" {
			return 0, p, x.fail(at+1, "", "%s", fault)
		}
		return v, p, nil
	}
	return 0, p, x.fail(at+1, "", "a number, or a function of the language, should stand here (3.3.2)")
}

// arcTangent reads the two expressions of ATAN, the first over the second: the
// angle in degrees of the direction with these legs, -180 to 180.
func (x *reader) arcTangent(line []byte, p int) (v float64, next int, err error) {
	at := p
	numerator, p, err := x.argument(line, p)
	if err != nil {
		return 0, p, err
	}
	if line[p] != '/' {
		return 0, p, x.fail(p+1, "write ATAN[...]/[...]", "ATAN needs a slash and a second expression (3.3.2.5)")
	}
	denominator, p, err := x.argument(line, p+1)
	if err != nil {
		return 0, p, err
	}
	if numerator == 0 && denominator == 0 {
		return 0, p, x.fail(at+1, "", "ATAN[0]/[0] is no angle")
	}
	return float64(math.Atan2(numerator, denominator)*(180/math.Pi)) + 0, p, nil
}

// argument reads the expression in brackets that a function applies to.
func (x *reader) argument(line []byte, p int) (v float64, next int, err error) {
	p = lexSkip(line, p)
	if line[p] != '[' {
		return 0, p, x.fail(p+1, "", "a function needs a value in brackets (3.3.2.5)")
	}
	return x.expression(line, p)
}
