package service

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/calc/year"
)

// RetrofitComparison compares arrangements over a year. It gives nil and adds to
// faults if anything is wrong.
func RetrofitComparison(req *RetrofitComparisonRequest, faults *fault.List) *RetrofitComparisonAnswer {
	if req.Unreadable {
		build(&req.System, faults)
		return nil
	}
	a := &RetrofitComparisonAnswer{}
	a.noteGallon(req.USGallon)
	q := comparison{req: req, a: a, work: working{wanted: req.ShowWorking}}
	q.arranging = beginArranging(&a.Notes, &req.System, &req.Conditions, faults)
	q.draws = q.prepareDraws(&req.Draws)
	q.check()
	if q.base == nil {
		for i := range req.Arrangements {
			checkArrangement(&req.Arrangements[i], listPointer(arrangementsAt, i, ""), faults)
		}
		return nil
	}
	for i := range req.Arrangements {
		q.all = append(q.all, q.arrange(&req.Arrangements[i], listPointer(arrangementsAt, i, "")))
	}
	if !faults.Empty() {
		return nil
	}
	q.run()
	if !faults.Empty() {
		return nil
	}
	return a
}

// comparison is one request on its way to an answer.
type comparison struct {
	*arranging
	req      *RetrofitComparisonRequest
	a        *RetrofitComparisonAnswer
	draws    *drawing
	all      []*arranged
	baseline int // of the arrangements, what savings count against
	days     [][]year.Day
	years    []*simulated
	costs    []priced
	work     working
}

// simulated is a year of one arrangement. The waits themselves are not kept: they
// are as many as the draws of the year, of every arrangement.
type simulated struct {
	year.Totals
	waits    WaitDistribution
	ranked   float64 // its 90th percentile, the longest wait where that is not served, s
	farthest *FixtureWaits
	curve    []ServedWithin
}

func (q *comparison) run() {
	q.chooseBaseline()
	q.yearOfDraws()
	if !q.faults.Empty() {
		return
	}
	if q.years = q.simulate(q.all, q.days); q.years == nil {
		return
	}
	q.noteMoney()
	q.costs = q.price(q.years, asGiven)
	q.a.Arrangements = make([]ComparedArrangement, len(q.all))
	for i := range q.all {
		q.compared(i)
	}
	q.rank()
	q.sensitivity()
	q.ranges()
	q.reasons()
	q.show()
	q.noteComparison()
}

// chooseBaseline takes the one asked for, the first of type none, or the first.
func (q *comparison) chooseBaseline() {
	q.baseline = 0
	for i := len(q.req.Arrangements) - 1; i >= 0; i-- {
		if q.req.Arrangements[i].Type == NoCirculation {
			q.baseline = i
		}
	}
	if q.req.Baseline == "" {
		q.a.assume(Assumption{Code: "default_baseline", Detail: "No baseline is named; the first arrangement of type none is taken, or else the first.", Value: q.req.Arrangements[q.baseline].ID, Pointers: []string{arrangementsAt}, Source: "common_practice"})
	} else {
		q.baseline = slices.IndexFunc(q.req.Arrangements, func(a Arrangement) bool { return a.ID == q.req.Baseline })
	}
	q.a.Baseline = q.req.Arrangements[q.baseline].ID
}

// maxYearDraws is how many draws the days of a year that differ may have together,
// so that a request of some megabytes does not take a hundred times that.
const maxYearDraws = 500_000

// yearOfDraws makes the draws of the representative days, month by month. Days that
// are alike share them.
func (q *comparison) yearOfDraws() {
	q.days = make([][]year.Day, calendar.Months)
	made := 0
	for _, d := range calendar.Days() {
		day := year.Day{Type: d.Type, Weight: d.Weight}
		k := len(q.days[d.Month])
		if before := d.Month - 1; before >= 0 && q.draws.alike(before, d.Month, &q.months) {
			day.Draws = q.days[before][k].Draws
		} else {
			day.Draws = q.draws.on(d.Type, d.Month, q.months[d.Month].mains)
			made += len(day.Draws)
		}
		if made > maxYearDraws {
			q.faults.Add(drawsAt, fault.AnswerTooLarge, "The days of the year that differ have more than %d draws together: list fewer events, or have fewer months that differ.", maxYearDraws)
			return
		}
		q.days[d.Month] = append(q.days[d.Month], day)
	}
}

// simulate gives a year of each arrangement; nil if one cannot be simulated.
func (q *comparison) simulate(all []*arranged, days [][]year.Day) []*simulated {
	months := make([]calendar.Month, calendar.Months)
	for m := range months {
		months[m] = calendar.Month(m)
	}
	longest := q.req.Draws.LongestWait
	if longest == (quantity.Duration{}) {
		longest = defaultLongestWait
	}
	years := make([]*simulated, len(all))
	for i, d := range all {
		r, err := year.Simulate(d.sys, q.plan(d, months, days, q.req.Draws.LongestWait), nil)
		if err != nil {
			q.spent(d, err)
			if errors.Is(err, year.ErrBudget) {
				return nil // the others would find nothing left
			}
			continue
		}
		q.left -= r.Work
		s := &simulated{Totals: r.Year}
		within := q.req.Within
		if within == nil {
			within = usualWithin()
		}
		s.waits = distributionOf(r.Waits, within)
		s.farthest, s.curve = farthestWaits(d, r.Waits), waitCurve(&s.waits, r.Waits)
		switch {
		case s.waits.Tenth != nil:
			s.ranked = s.waits.Tenth.Seconds()
		case s.waits.Draws > 0:
			s.ranked = longest.Seconds()
		}
		years[i] = s
	}
	if !q.faults.Empty() {
		return nil
	}
	return years
}

// compared writes down the year of one arrangement.
func (q *comparison) compared(i int) {
	d, y, p := q.all[i], q.years[i], &q.costs[i]
	out := &q.a.Arrangements[i]
	out.ID, out.Type = d.a.ID, d.a.Type
	out.Waits, out.Farthest, out.WaitCurve = y.waits, y.farthest, y.curve
	out.Water, out.Heat = waterOf(&y.Totals, d.carriesBackCold()), balanceOf(&y.Totals)
	out.Useful = quantity.Joules(q.usefulShare() * max(0, y.LostSeason.Sum()))
	if y.ReturnVolume > 0 {
		out.Returned = quantity.Kelvin(y.ReturnKelvin / y.ReturnVolume)
	}
	out.Energy, out.Cost, out.Missing = p.energy, p.cost, p.missing
	if p.emitted != nil {
		m := quantity.Kilograms(*p.emitted)
		out.Emitted = &m
	}
	out.Life = p.lifeResult()
	if len(d.sys.Circulations) > 0 {
		out.Pump = &PumpYear{Hours: y.PumpTime / 3600, Starts: y.PumpStarts}
	}
	out.Savings = q.savings(i)
	out.Findings = q.yearFindings(d)
	out.Balance = math.Abs(y.Residual)
}

func (q *comparison) usefulShare() float64 {
	if s := q.req.Conditions.Season; s != nil {
		return s.Useful
	}
	return 0
}

// farthestWaits is the waits at the fixture with the longest 90th percentile, of
// waits that are sorted.
func farthestWaits(d *arranged, sorted year.Waits) *FixtureWaits {
	byOutlet := make([]year.Waits, len(d.sys.Outlets))
	for _, w := range sorted { // so each part is
		byOutlet[w.Outlet] = append(byOutlet[w.Outlet], w)
	}
	var worst *FixtureWaits
	longest := -1.0
	for o, waits := range byOutlet {
		if len(waits) == 0 {
			continue
		}
		dist := distributionOf(waits, nil)
		t := math.Inf(1)
		if dist.Tenth != nil {
			t = dist.Tenth.Seconds()
		}
		if t > longest {
			longest = t
			worst = &FixtureWaits{Fixture: d.sys.Outlets[o].ID, Draws: dist.Draws, Median: dist.Median, Tenth: dist.Tenth}
		}
	}
	return worst
}

// curvePointsOfWaits is how many steps the picture of waits has.
const curvePointsOfWaits = 120

// waitCurve is the share of draws served within waits, which are sorted, for the
// picture.
func waitCurve(of *WaitDistribution, sorted year.Waits) []ServedWithin {
	if of.Longest == nil {
		return nil
	}
	longest := of.Longest.Seconds()
	curve := make([]ServedWithin, 0, curvePointsOfWaits+1)
	sum, k := 0.0, 0
	for i := 0; i <= curvePointsOfWaits; i++ {
		t := longest * float64(i) / curvePointsOfWaits
		for ; k < len(sorted) && sorted[k].Served && sorted[k].Seconds <= t*(1+1e-9); k++ {
			sum += sorted[k].Weight
		}
		curve = append(curve, ServedWithin{quantity.Seconds(t), min(1, sum/of.Draws)})
	}
	return curve
}

// yearFindings is what is wrong with the settings in any month.
func (q *comparison) yearFindings(d *arranged) []ControlFinding {
	var times control.DrawTimes
	for m := range q.days {
		for _, day := range q.days[m] {
			if day.Type == calendar.Weekday {
				times.Weekday = append(times.Weekday, drawTimes(day.Draws)...)
			} else {
				times.Weekend = append(times.Weekend, drawTimes(day.Draws)...)
			}
		}
	}
	byTime := func(a, b quantity.Duration) int { return cmp.Compare(a.Seconds(), b.Seconds()) }
	for _, list := range []*[]quantity.Duration{&times.Weekday, &times.Weekend} {
		slices.SortFunc(*list, byTime)
		*list = slices.Compact(*list)
	}
	return q.findings(d, times, int(calendar.Months)/2)
}

// savings are against the baseline.
func (q *comparison) savings(i int) Savings {
	y, b := q.years[i], q.years[q.baseline]
	p, bp := &q.costs[i], &q.costs[q.baseline]
	s := Savings{Water: quantity.CubicMetres(b.RunToWaste - y.RunToWaste), Lost: quantity.Joules(b.Lost.Sum() - y.Lost.Sum())}
	if p.energy.Total != nil && bp.energy.Total != nil {
		e := quantity.Joules(bp.energy.Total.Joules() - p.energy.Total.Joules())
		s.Energy = &e
	}
	if p.emitted != nil && bp.emitted != nil {
		m := quantity.Kilograms(*bp.emitted - *p.emitted)
		s.Emitted = &m
	}
	s.Cost = difference(bp.cost.Total, p.cost.Total)
	if p.life == nil || bp.life == nil {
		return s
	}
	against, err := p.life.Against(bp.life)
	if err != nil {
		return s // of different studies, which one request has not
	}
	s.NetPresent = &against.Net
	if against.RatioDefined {
		s.Ratio = &against.Ratio
	}
	if i != q.baseline {
		s.Simple, s.Discounted = paybackOf(against.Simple), paybackOf(against.Discounted)
	}
	return s
}

// difference of two amounts; nil if one is not known.
func difference(a, b *float64) *float64 {
	if a == nil || b == nil {
		return nil
	}
	d := *a - *b
	return &d
}

func (q *comparison) arrangementPointer(i int) string { return listPointer(arrangementsAt, i, "") }
