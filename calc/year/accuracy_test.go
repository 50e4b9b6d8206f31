package year

import "testing"

// TestFiner: against a run ten times finer yearly heat is within 1 % and the median wait
// within 2 %; twice as fine changes the heat by less than 0.5 %. The issue of this
// simulation asks for that.
func TestFiner(t *testing.T) {
	plan := months(morning(15))
	plan.Months = plan.Months[:4]
	all := arrangements()
	p := house()
	for i := range p.Pipes {
		if p.Pipes[i].Parent != None && i%6 != 0 {
			q := plastic(p.Pipes[i].ID, p.Pipes[i].Parent, p.Pipes[i].Length.Metres())
			p.Pipes[i] = q
		}
	}
	all["plastic branches"] = p
	all["plastic branches, return"] = withReturn(p, continuous())
	for name, s := range all {
		usual := simulated(t, s, plan)
		plan.Fineness = 2
		twice := simulated(t, s, plan)
		plan.Fineness = 10
		fine := simulated(t, s, plan)
		plan.Fineness = 0
		near(t, name+": heat, twice as fine", usual.Year.HeaterHeat, twice.Year.HeaterHeat, 0.005)
		near(t, name+": lost, twice as fine", usual.Year.Lost.Sum(), twice.Year.Lost.Sum(), 0.005)
		near(t, name+": heat", usual.Year.HeaterHeat, fine.Year.HeaterHeat, 0.01)
		near(t, name+": lost", usual.Year.Lost.Sum(), fine.Year.Lost.Sum(), 0.01)
		near(t, name+": wasted", usual.Year.RunToWaste, fine.Year.RunToWaste, 0.05) // an aquastat's phase against the draws shifts
		a, _ := usual.Waits.Quantile(0.5)
		b, _ := fine.Waits.Quantile(0.5)
		near(t, name+": median wait", a, b, 0.02)
		a, _ = usual.Waits.Quantile(0.9)
		b, _ = fine.Waits.Quantile(0.9)
		near(t, name+": 90th wait", a, b, 0.02)
	}
}
