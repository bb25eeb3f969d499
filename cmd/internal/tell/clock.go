package tell

import "fmt"

// Clock writes seconds as hours and minutes, to the nearest and no less than one: every time that
// is told is told so.
func Clock(s float64) string {
	m := int(s/60 + 0.5)
	if m < 60 {
		return fmt.Sprintf("%d min", max(m, 1))
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}
