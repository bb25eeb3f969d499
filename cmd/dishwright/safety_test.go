package main

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestLimitsNameTheirSource: wherever SAFETY.md states a limit of dust or noise, the rule
// that sets it stands in the same item; and each figure is that rule's. Sources: Directives
// 2004/37/EC, Annex III as amended by (EU) 2017/2398, and 2003/10/EC, Article 3 (values
// seen in texts that repeat them, the article from memory); HSE, EH40/2005, 4th edition
// 2020 (seen in a government notice and on its page); 29 CFR 1910.95, Table G-16, and NIOSH
// (seen).
func TestLimitsNameTheirSource(t *testing.T) {
	text, err := os.ReadFile("../../SAFETY.md")
	require.NoError(t, err)
	// An item ends where the next begins, at a blank line or a heading.
	items := regexp.MustCompile(`\n(?:\n|\s*[-#] )`).Split(string(text), -1)
	limit := regexp.MustCompile(`\b\d+\s+(?:mg/m³|dBA|dB\(A\)|ppm)`)
	source := regexp.MustCompile(`Directive|CFR|NIOSH|EH40`)
	found := map[string]bool{}
	for _, item := range items {
		item = strings.Join(strings.Fields(item), " ")
		if !limit.MatchString(item) {
			continue
		}
		require.Regexp(t, source, item)
		for rule, figures := range map[string][]string{
			"2017/2398":      {"hardwood 2 mg/m³", "18 January 2023", "Annex III"},
			"EH40/2005":      {"hardwood 3 mg/m³", "softwood 5", "4th edition 2020"},
			"2003/10/EC":     {"80 dB(A)", "85 dB(A)", "87 dB(A)", "Article 3"},
			"29 CFR 1910.95": {"90 dBA over 8 hours", "each 5 dB", "Table G-16", "NIOSH recommends 85 dBA", "each 3 dB"},
		} {
			if !strings.Contains(item, rule) {
				continue
			}
			found[rule] = true
			for _, f := range figures {
				require.Contains(t, item, f)
			}
		}
	}
	require.Len(t, found, 4)
}
