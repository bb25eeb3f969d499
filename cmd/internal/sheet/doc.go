// Package sheet writes the bench sheet: pages that stand at the machine, steps to tick off, and
// a page for after, printed from one HTML file.
//
// In comes what shop, sides or readings found out, out go the bytes of that file, which needs
// nothing else: no script, no network, its drawings and its style in it. What is told is made of
// the parts of document; figures that are told elsewhere too are composed where they come from.
package sheet
