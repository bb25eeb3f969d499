package rim_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish/rim"
)

// flatBody is the guitar with a flat that touches the dome.
func flatBody(t *testing.T) rim.Body {
	b := guitarBody(t)
	b.Top.FlatFrom, b.Top.Blend = b.Outline.Length()-90, 40
	return b
}

// zoneLog is a log in which each zone's places have so much left after each round.
func zoneLog(b rim.Body, left map[rim.Zone][]float64) (l rim.WidthLog) {
	l.Step = 0.05
	for _, s := range b.NamedStations() {
		l.Places = append(l.Places, one(s, left[b.FinishedWith(s)]...))
	}
	return l
}

// A flat that stands above the dome is sanded first: the dome has no say in press and pace until it is
// done, and then the rounds that were the flat's have none.
func TestLogOfZones(t *testing.T) {
	b := flatBody(t)
	require.Equal(t, []rim.Zone{rim.Flat, rim.Domed, rim.Blend}, b.Top.SandingOrder())

	p := b.Pace(zoneLog(b, map[rim.Zone][]float64{rim.Flat: {1.5, 1.1, 0.7}, rim.Domed: {1.5, 1.5, 1.5}}))
	require.Equal(t, rim.Flat, p.Zone)
	require.InDelta(t, 0.4, p.Mean.PerRound, 1e-9)
	require.InDelta(t, 0.7, p.Mean.AtLast, 1e-9)
	require.False(t, p.Left.AlongSure || p.Left.AcrossSure)

	// The flat within the tolerance, the dome untouched: nothing to press, and no pace yet.
	l := zoneLog(b, map[rim.Zone][]float64{rim.Flat: {1.5, 0.7, 0.02}, rim.Domed: {1.5, 1.5, 1.5}})
	p = b.Pace(l)
	require.Equal(t, rim.Domed, p.Zone)
	require.False(t, p.Mean.Known)
	require.False(t, p.Left.AlongSure || p.Left.AcrossSure)
	flats := 0
	for i, one := range p.Places {
		if one.Count == 0 { // the blend was not read
			continue
		}
		require.Equal(t, one.Zone == rim.Domed, one.Now, i)
		require.InDelta(t, map[bool]float64{true: 1.5, false: 0.02}[one.Now], one.Left, 1e-9)
		if one.Zone == rim.Flat {
			flats++
		}
	}
	require.Greater(t, flats, 2)

	p = b.Pace(zoneLog(b, map[rim.Zone][]float64{rim.Flat: {1.5, 0.7, 0.02, 0.02, 0.02, 0.02}, rim.Domed: {1.5, 1.5, 1.5, 1.2, 0.9, 0.6}}))
	require.Equal(t, rim.Domed, p.Zone)
	require.InDelta(t, 0.3, p.Mean.PerRound, 1e-9, "of the rounds since the flat was done")
	require.InDelta(t, 2, p.Mean.Rounds, 1e-9)
	require.Empty(t, p.Wrong)

	// A slip in it is told by its place among all readings.
	l = zoneLog(b, map[rim.Zone][]float64{rim.Flat: {1.5, 0.02, 0.02, 0.02, 0.02}, rim.Domed: {1.5, 1.5, 1.2, 0.9, 0.6}})
	tail := slices.IndexFunc(l.Places, func(p rim.LoggedPlace) bool { return p.Station.Name == "tail" })
	l.Places[tail].Read[3].Width++
	p = b.Pace(l)
	require.Len(t, p.Wrong, 1)
	require.Equal(t, [2]int{tail, 3}, [2]int{p.Wrong[0].Place, p.Wrong[0].Read})
}

// Where two zones meet a place has its width when the one that is sanded first is done, on both
// sides of the body alike.
func TestPlacesBetweenZones(t *testing.T) {
	b := flatBody(t)
	found := map[string]rim.Zone{}
	for _, s := range b.NamedStations() {
		found[s.Name] = b.FinishedWith(s)
	}
	for _, side := range []string{"left ", "right "} {
		require.Equal(t, rim.Flat, found[side+"flat begins"], found)
		require.Equal(t, rim.Domed, found[side+"blend begins"], found)
	}
	require.Equal(t, [2]rim.Zone{rim.Domed, rim.Flat}, [2]rim.Zone{found["tail"], found["head"]})

	b.Top.FlatLeans, b.Top.FlatFall, b.Top.Blend = true, b.Top.TouchingFall()+0.02, 0
	require.Equal(t, []rim.Zone{rim.Domed, rim.Flat}, b.Top.SandingOrder())
	require.Equal(t, []rim.Zone{rim.Domed}, guitarBody(t).Top.SandingOrder())
}

// A place that was last read once, rounds ago, is no part of what is pressed; a width just as far
// off as the tolerance is within it; figures without decimals tell no end.
func TestLogOldAndCoarse(t *testing.T) {
	b := guitarBody(t)
	s := b.NamedStations()
	tail, head, waist := one(s[0], 2, 1.6, 1.2), one(s[len(s)/2], 2, 1.6, 1.2), one(s[2], 5)
	p := b.Pace(rim.WidthLog{Places: []rim.LoggedPlace{tail, head, waist}})
	require.False(t, p.Places[2].Now)
	require.False(t, p.Left.AlongSure || p.Left.AcrossSure)
	require.InDelta(t, 5, p.Places[2].Left, 1e-9, "the row keeps it")

	l := rim.WidthLog{Step: 0.01, Places: []rim.LoggedPlace{one(s[0], -0.1)}}
	p = b.Pace(l)
	require.False(t, p.Low(p.Places[0].Left) || p.More(0.1))
	_, gone := b.Remedy(l, p)
	require.False(t, gone)
	require.True(t, p.Low(-0.101) && p.More(0.101))

	require.False(t, p.Coarse)
	require.True(t, b.Pace(rim.WidthLog{Step: 1, Places: []rim.LoggedPlace{one(s[0], 0.5)}}).Coarse)
}
