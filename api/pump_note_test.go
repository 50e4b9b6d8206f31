package api_test

import "testing"

// selectionsOfEveryNote are requests for pumps that give the notes which no example
// gives.
func selectionsOfEveryNote(t *testing.T) []example {
	const (
		approved = `"drinking_water_approved":true,`
		points   = `/system_curve = {"points":[{"flow":{"value":2,"unit":"L/min"},"head":{"value":0.9,"unit":"m"}},{"flow":{"value":5,"unit":"L/min"},"head":{"value":0.2,"unit":"m"}},{"flow":{"value":9,"unit":"L/min"},"head":{"value":1,"unit":"m"}}]}`
	)
	given := edited(t, houseFor(t, pumpSelectionsPath), "/system", givenDuty, `/candidates/0/drinking_water_approved = true`)
	return []example{
		{pumpSelectionsPath, "a duty, a pump without power, and no more", given},
		{pumpSelectionsPath, "points that no parabola meets, off the duty", edited(t, given, points)},
		{pumpSelectionsPath, "a pump that gives too much", edited(t, given, `/duty/flow/value = 1`)},
	}
}
