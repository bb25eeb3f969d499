// Package sheet writes the bench sheet: one HTML file that is printed, clipped beside
// the machine and worked down.
//
// In comes what shop, sides or readings found out, out go the bytes of a page that
// needs nothing else: no script, no network, its drawings and its style in it. Every
// text is made harmless here; lengths stand in the builder's unit.
package sheet
