package work

import (
	"fmt"

	"dishwright/dish/measure"
)

// Said is a sentence, or a part of one, whose lengths are not written yet: whoever shows it
// says in which unit.
type Said struct {
	format string
	args   []any
}

// Length is a length in a sentence, mm, told to so many decimals of a millimetre; fewer where
// they are zeros, if it is Short.
type Length struct {
	MM       float64
	Decimals int
	Short    bool
}

// Writer writes a length of a sentence.
type Writer func(Length) string

// Say returns a sentence: a format as fmt has it, %v for each Length and each Said in it.
func Say(format string, args ...any) Said { return Said{format, args} }

// In returns the sentence with its lengths as write writes them.
func (s Said) In(write Writer) string {
	args := make([]any, len(s.args))
	for i, a := range s.args {
		switch a := a.(type) {
		case Length:
			args[i] = write(a)
		case Said:
			args[i] = a.In(write)
		default:
			args[i] = a
		}
	}
	return fmt.Sprintf(s.format, args...)
}

// String returns the sentence in millimetres.
func (s Said) String() string { return s.In(InMM) }

// InMM writes a length in millimetres.
func InMM(l Length) string {
	text := measure.FormatFixed(l.MM, l.Decimals)
	if l.Short {
		text = measure.TrimZeros(text)
	}
	return text + " mm"
}

// Short is a length of at most three decimals, Micro one of just three, Tenth of one.
func Short(mm float64) Length { return Length{mm, 3, true} }
func Micro(mm float64) Length { return Length{mm, 3, false} }
func Tenth(mm float64) Length { return Length{mm, 1, false} }
