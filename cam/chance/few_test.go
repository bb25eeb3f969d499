package chance

import "testing"

// drawn is a case of a property that fails at one value.
type drawn struct {
	value  int
	failed *bool
}

func (d drawn) Failed() bool { return *d.failed }

// TestFew: the first cases are tried and no others, and all once one has failed; with
// LONG all of them.
func TestFew(t *testing.T) {
	for _, tt := range []struct {
		name, long   string
		fails, tried int // which of ten cases fails, and how many are tried
	}{
		{"the first alone", "", -1, 3},
		{"all behind a failure", "", 2, 10},
		{"a failure that comes too late", "", 3, 3},
		{"all with LONG", "1", -1, 10},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Setenv("LONG", tt.long)
			tried := 0
			property := Few(3, func(d drawn) {
				tried++
				*d.failed = d.value == tt.fails
			})
			for i := range 10 {
				property(drawn{i, new(bool)})
			}
			if tried != tt.tried {
				t.Errorf("%d cases are tried, not %d", tried, tt.tried)
			}
		})
	}
}
