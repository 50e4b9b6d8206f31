package service

import "recirc/calc/rule"

// ruleTally is how the elements of one rule fared.
type ruleTally struct {
	rows                     []ruleRow
	met, notMet, notAssessed int
	best                     int   // row of what is met, behind it by one; 0: none
	lacking                  []int // rows of what lacks the same, a few at most
}

// ruleRow is a finding in the making.
type ruleRow struct {
	outcome  rule.Outcome
	at       element
	elements int
}

// add counts one element. What is met is one row, for the element nearest to the
// limit, and what lacks the same is one; what is not met has a row each.
func (t *ruleTally) add(r *rule.Rule, o *rule.Outcome, at element, every bool) {
	row := ruleRow{*o, at, 1}
	switch o.Status {
	case rule.Met:
		t.met++
		if every || t.best == 0 {
			t.rows = append(t.rows, row)
			t.best = len(t.rows)
			return
		}
		best := &t.rows[t.best-1]
		row.elements = best.elements + 1
		if o.Excess(r) > best.outcome.Excess(r) {
			*best = row
		}
		best.elements = row.elements
	case rule.NotMet:
		t.notMet++
		t.rows = append(t.rows, row)
	default:
		t.notAssessed++
		if !every {
			if like := t.lackingLike(o); like != nil {
				like.elements++
				return
			}
			t.lacking = append(t.lacking, len(t.rows))
		}
		t.rows = append(t.rows, row)
	}
}

// lackingLike finds the row of elements that lack the same, nil if there is none.
func (t *ruleTally) lackingLike(o *rule.Outcome) *ruleRow {
	for _, i := range t.lacking {
		had := &t.rows[i].outcome
		if had.Missing == o.Missing && had.Members == o.Members && had.Reason == o.Reason {
			return &t.rows[i]
		}
	}
	return nil
}
