package measure

import (
	"math"
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// MaxText is the most characters that a quantity may take.
const MaxText = 40

// number is the part of a quantity before its unit, read exactly.
type number struct {
	value    *big.Rat
	text     string // as it is written back, without surplus zeros in front
	negative bool
	whole    bool // neither a point nor a fraction
	fraction bool // a fraction of two whole numbers
}

// countDigits returns how many decimal digits s starts with.
func countDigits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

// stripZeros drops zeros in front of a whole number, but not its only one.
func stripZeros(s string) string {
	if s = strings.TrimLeft(s, "0"); s == "" {
		return "0"
	}
	return s
}

// The forms that look like numbers but are not read, each with its own message.
var (
	notFinite = regexp.MustCompile(`^[-+]?\.?(nan|inf)`)
	exponent  = regexp.MustCompile(`^-?[0-9]*\.?[0-9]+e[-+]?[0-9]`)
	thousands = regexp.MustCompile(`^-?[1-9][0-9]{0,2}(,[0-9]{3})+([^0-9,]|$)`)
	comma     = regexp.MustCompile(`^-?[0-9]*,[0-9]`)
	hyphen    = regexp.MustCompile(`^-?([0-9]+)-([0-9]+/[0-9]+)`)
	spaced    = regexp.MustCompile(`^-?[0-9]+( [0-9]+)+([^0-9/]|$)`)
	mixed     = regexp.MustCompile(`^-?[0-9]*\.[0-9]+ [0-9]+/`)
)

// checkForm refuses the forms of numbers that are not read, by name. The text is
// plain; as is what was written.
func checkForm(s, as, example string) *Error {
	like := "write it like " + example
	switch {
	case notFinite.MatchString(s):
		return newError(like, "%s is not a finite number", Quote(as))
	case s[0] == '+':
		return newError("leave the + away", "%s has a sign that is not needed", Quote(as))
	case exponent.MatchString(s):
		return newError("write the number out, with a point where it needs one: "+example, "%s is in exponent form", Quote(as))
	case thousands.MatchString(s):
		return newError("write "+strings.ReplaceAll(s, ",", "")+" without separators, or "+strings.Replace(s, ",", ".", 1)+" with a point",
			"%s has a comma, which could mean thousands or a decimal point", Quote(as))
	case comma.MatchString(s):
		return newError("write a point: "+strings.Replace(s, ",", ".", 1), "%s has a decimal comma", Quote(as))
	case strings.HasPrefix(strings.TrimPrefix(s, "-"), "0x"), strings.Contains(s, "_"):
		return newError(like, "%s is not a plain decimal number", Quote(as))
	case hyphen.MatchString(s):
		return newError("write a space instead: "+hyphen.ReplaceAllString(s, "$1 $2"), "%s has a hyphen inside its number", Quote(as))
	case spaced.MatchString(s):
		return newError("write 1000 without a space, or 1 1/2 for one and a half", "%s holds two numbers in a row", Quote(as))
	case mixed.MatchString(s):
		return newError("write either decimals or a fraction", "%s mixes a point and a fraction", Quote(as))
	}
	return nil
}

// scan reads the number that the plain text s starts with and returns what
// follows it.
func scan(s, as, example string) (number, string, *Error) {
	if e := checkForm(s, as, example); e != nil {
		return number{}, "", e
	}
	notANumber := newError("write it like "+example, "%s does not start with a plain number", Quote(as))
	var n number
	rest := s
	if n.negative = rest[0] == '-'; n.negative {
		rest = rest[1:]
	}
	a := countDigits(rest)
	leading, rest := rest[:a], rest[a:]
	var e *Error
	switch {
	case strings.HasPrefix(rest, "."):
		b := countDigits(rest[1:])
		if b == 0 {
			return number{}, "", newError("write it like "+example, "%s has no digit after its point", Quote(as))
		}
		n.text = stripZeros(leading) + rest[:1+b]
		rest = rest[1+b:]
		n.value, _ = new(big.Rat).SetString(n.text)
	case a == 0:
		return number{}, "", notANumber
	default:
		n, rest, e = scanWhole(n, leading, rest, as)
		if e != nil {
			return number{}, "", e
		}
	}
	// A unit or nothing may follow; more of a number may not.
	if rest != "" && strings.IndexByte("0123456789.,/-+", rest[0]) >= 0 {
		return number{}, "", notANumber
	}
	if n.negative && n.value.Sign() != 0 {
		n.value.Neg(n.value)
		n.text = "-" + n.text
	} else {
		n.negative = false // there is no minus zero
	}
	return n, strings.TrimPrefix(rest, " "), nil
}

// scanWhole reads on after the whole number first: a fraction `1/2`, the rest
// of a mixed number `6 1/2`, or nothing more.
func scanWhole(n number, first, rest, as string) (number, string, *Error) {
	whole, top := "0", first
	after := rest
	if strings.HasPrefix(rest, " ") {
		if c := countDigits(rest[1:]); c > 0 {
			whole, top, after = stripZeros(first), rest[1:1+c], rest[1+c:]
		}
	}
	d := 0
	if strings.HasPrefix(after, "/") {
		d = countDigits(after[1:])
	}
	if d == 0 { // no fraction, or one that the caller will trip over
		n.whole = true
		n.text = stripZeros(first)
		n.value, _ = new(big.Rat).SetString(n.text)
		return n, rest, nil
	}
	n.fraction = true
	bottom := stripZeros(after[1 : 1+d])
	if bottom == "0" {
		return n, "", newError("write a fraction like 1/4", "%s divides by zero", Quote(as))
	}
	top = stripZeros(top) // a leading zero would make it octal
	n.value, _ = new(big.Rat).SetString(top + "/" + bottom)
	n.text = top + "/" + bottom
	if whole != "0" {
		if n.value.Cmp(big.NewRat(1, 1)) >= 0 {
			return n, "", newError("write a fraction below one after the whole number, like 6 1/2", "%s has a whole number and a fraction that is not below one", Quote(as))
		}
		w, _ := new(big.Rat).SetString(whole)
		n.value.Add(n.value, w)
		n.text = whole + " " + n.text
	}
	return n, after[1+d:], nil
}

// toFloat returns the float64 nearest to r.
func toFloat(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}

// ParseNumber reads a number without a unit in plain decimals, such as `0.25`
// or `-3`: no exponent, no sign +, no zeros in front, at most 1e9 either way.
func ParseNumber(s string) (float64, error) {
	const example = "0.25 or 12"
	t, e := normalize(s, example)
	if e != nil {
		return 0, e
	}
	n, rest, e := scan(t, s, example)
	if e != nil {
		return 0, e
	}
	body := strings.TrimPrefix(t, "-")
	switch {
	case rest != "":
		return 0, newError("write the number alone, like "+n.text, "%s is not a number alone", Quote(s))
	case n.fraction:
		return 0, newError("write decimals: "+TrimZeros(FormatFixed(toFloat(n.value), 4)), "%s is a fraction", Quote(s))
	case body[0] == '.' || len(body) > 1 && body[0] == '0' && body[1] != '.':
		return 0, newError("write "+n.text, "%s is not a plain decimal number", Quote(s))
	}
	f := toFloat(n.value)
	if math.Abs(f) > 1e9 {
		return 0, newError("at most 1000000000", "%s is too large", Quote(s))
	}
	return f, nil
}

// ParseCount reads a whole number of zero or more, at most 1e9.
func ParseCount(s string) (int, error) {
	f, err := ParseNumber(s)
	if err != nil {
		return 0, err
	}
	if f < 0 || f != math.Trunc(f) || strings.Contains(s, ".") {
		return 0, newError("write it like "+strconv.Itoa(int(math.Abs(math.Round(f)))), "%s is not a whole number of zero or more", Quote(s))
	}
	return int(f), nil
}
