package chance

import "flag"

// Few makes a property hold for the first n cases that are drawn of it, where each of
// them takes long: the others are drawn empty, unless LONG is set or -rapid.checks asks
// for a number. Once a case has failed, all are tried, so that it can be made smaller.
//
// It may not be called by two goroutines.
func Few[T interface{ Failed() bool }](n int, property func(T)) func(T) {
	if f := flag.Lookup("rapid.checks"); Long() || f != nil && f.Value.String() != f.DefValue {
		return property
	}
	failed := false
	return func(t T) {
		if n--; n < 0 && !failed {
			return
		}
		defer func() { failed = failed || t.Failed() }()
		property(t)
	}
}
