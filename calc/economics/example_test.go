package economics_test

import (
	"fmt"

	"recirc/calc/economics"
)

// ExampleUniformPresentValue is a row of the computed reference: 15 years at 6 %.
func ExampleUniformPresentValue() {
	f, _ := economics.UniformPresentValue(0.06, 15)
	fmt.Printf("%.4f\n", f)
	// Output: 9.7122
}

// ExampleModifiedUniformPresentValue is 20 years at 3 % with prices that rise by 2 %
// a year, as worked out beside the formula of NIST Handbook 135.
func ExampleModifiedUniformPresentValue() {
	f, _ := economics.ModifiedUniformPresentValue(0.03, 0.02, 20)
	fmt.Printf("%.4f\n", f)
	// Output: 18.0812
}

// ExampleSinglePresentValue is a factor of a published worked example: year 12 at 3 %.
func ExampleSinglePresentValue() {
	f, _ := economics.SinglePresentValue(0.03, 12)
	fmt.Printf("%.3f\n", f)
	// Output: 0.701
}

// ExampleLifeCycle_Against is row LCC-0029 of the computed reference, whose amounts
// are those of the first year.
func ExampleLifeCycle_Against() {
	study := economics.Study{Years: 20, Basis: economics.ConstantDollar, Rate: 0.04}
	energy, upkeep := economics.EscalatingAt(0.025), economics.EscalatingAt(0.015)
	as, _ := study.LifeCycle(&economics.Alternative{
		Energy: []economics.Yearly{{Name: "gas", Amount: 910 / 1.025, Escalation: energy}},
	})
	proposed, _ := study.LifeCycle(&economics.Alternative{
		Investment:   []economics.Dated{{Amount: 2600}},
		Energy:       []economics.Yearly{{Name: "gas", Amount: 540 / 1.025, Escalation: energy}},
		Maintenance:  []economics.Yearly{{Amount: 60 / 1.015, Escalation: upkeep}},
		Replacements: []economics.Dated{{Amount: 350, Year: 8}, {Amount: 350, Year: 16}},
	})
	saves, _ := proposed.Against(as)
	fmt.Printf("present cost %.2f against %.2f, saved %.2f\n", proposed.NetPresentCost, as.NetPresentCost, saves.Net)
	fmt.Printf("savings-to-investment ratio %.4f, discounted payback %s after %.2f years\n", saves.Ratio, saves.Discounted.State, saves.Discounted.Years)
	// Output:
	// present cost 13045.01 against 15297.52, saved 2252.51
	// savings-to-investment ratio 1.7403, discounted payback reached after 10.15 years
}

// ExampleLeastWithin asks up to which price of electricity a pump that runs all day
// stays cheaper than a timer. The numbers are invented.
func ExampleLeastWithin() {
	always, timer := economics.Line{Fixed: 300, Slope: 3000}, economics.Line{Fixed: 450, Slope: 2000}
	r, _, _ := economics.LeastWithin([]economics.Line{always, timer}, 0)
	fmt.Printf("up to %.2f, beyond it number %d\n", r.To, r.AboveTo)
	// Output: up to 0.15, beyond it number 1
}
