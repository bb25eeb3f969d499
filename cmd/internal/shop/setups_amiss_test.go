package shop_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
)

// amissJobs are divided jobs whose programs are run otherwise than in their order; without
// LONG the first alone.
func amissJobs() []divided {
	marks := smallDivided("6", "marks")
	two := smallDivided("4", "two fences")
	two.order = two.with(func(o *order) { o.name, o.rough = "two cutters", "half-inch ball" })
	list := []divided{smallDivided("4", "two fences"), slid(), marks, two}
	if !chance.Long() {
		return list[:1]
	}
	return list
}

// TestSetupsAmiss: a program of a setup that is run twice, or once before the blank is
// turned and then again, or with the blank turned one mark too far and then where it
// belongs, takes nothing from the face and bites no deeper than the cutter may.
func TestSetupsAmiss(t *testing.T) {
	for _, d := range amissJobs() {
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			_, r := d.made(t)
			all, how := texts(r), setupsOfPrograms(r)
			run := func(lies func(i int) []laid) []string {
				var texts [][]byte
				var list []laid
				for i := range all {
					for _, lie := range lies(i) {
						texts, list = append(texts, all[i]), append(list, lie)
					}
				}
				v, _ := d.wanted().carryOut(texts, list)
				return v.faults
			}
			if d.by == "one fence" { // whose two programs are not one another's
				require.Empty(t, run(func(i int) []laid { return []laid{how[i], how[i]} }))
				return
			}
			require.Empty(t, run(func(i int) []laid { return []laid{how[max(0, i-1)], how[i], how[i]} }))
			if chance.Long() && d.rough == d.finish { // a finishing cutter may meet what was not roughed yet
				require.Empty(t, run(func(i int) []laid { return []laid{how[(i+1)%len(how)], how[i]} }))
			}
		})
	}
}

// TestSetupsOutOfOrder: what prove says of a set whose programs are run twice, exchanged or
// left out.
func TestSetupsOutOfOrder(t *testing.T) {
	t.Parallel()
	for _, d := range amissJobs() {
		j, r := d.made(t)
		names, texts := printed(r)
		kinds := func(at ...int) (list []string) {
			var n, s []string
			for _, i := range at {
				n, s = append(n, names[i]), append(s, texts[i])
			}
			v := prove(t, j, n, s)
			require.Equal(t, v.Proven, len(v.Findings) == 0)
			for _, f := range v.Findings {
				list = append(list, f.Kind)
			}
			return list
		}
		in := make([]int, len(texts))
		for i := range in {
			in[i] = i
		}
		for i := 1; i < len(texts); i++ {
			require.Contains(t, kinds(slices.Insert(slices.Clone(in), i, i)...), "order", "%s: %s twice", d.name, names[i])
			swapped := slices.Clone(in)
			swapped[i-1], swapped[i] = swapped[i], swapped[i-1]
			require.Contains(t, kinds(swapped...), "order", "%s: %s before %s", d.name, names[i], names[i-1])
			require.NotEmpty(t, kinds(slices.Delete(slices.Clone(in), i, i+1)...), "%s: without %s", d.name, names[i])
			if !chance.Long() {
				break
			}
		}
	}
}
