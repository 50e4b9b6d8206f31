package api

import (
	"github.com/gin-gonic/gin"

	"recirc/api/answer"
	"recirc/calc/rule"
	"recirc/calc/source"
)

func rulesTable(c *gin.Context) {
	q := query(c, "set", "unit_system")
	wanted := q.oneOf("set", ruleSetIDs)
	w := q.answer()
	if q.refused() {
		return
	}
	openAnswer(w)
	w.OpenList("sets")
	var rules []*rule.Rule
	for _, s := range rule.Sets() {
		if wanted != "" && s.ID != wanted {
			continue
		}
		writeRuleSet(w, s)
		rules = append(rules, s.Rules...)
	}
	w.CloseList()
	w.OpenList("rules")
	for _, r := range rules {
		writeRule(w, r)
	}
	w.CloseList()
	writeSources(w, cited(rules, func(r *rule.Rule) source.ID { return r.Source }))
	w.CloseObject()
	reply(c, w)
}

func writeRuleSet(w *answer.Writer, s *rule.Set) {
	w.OpenObject("")
	w.Text("id", s.ID)
	w.Text("title", s.Title)
	w.Text("document", s.Document)
	w.Text("edition", s.Edition)
	w.TextIf("note", s.Note)
	w.CloseObject()
}

func writeRule(w *answer.Writer, r *rule.Rule) {
	w.OpenObject("")
	w.Text("rule", r.ID)
	w.Text("set", r.Set.ID)
	w.Text("document", r.Document())
	w.Text("edition", r.Edition())
	w.Text("clause", r.Clause)
	w.Text("requirement", r.Requirement)
	w.Text("subject", string(r.Subject))
	w.Text("severity", string(r.Severity))
	w.Text("topic", r.Topic)
	w.TextIf("method", string(r.Method))
	if r.HasLimit {
		w.Amount("limit", r.Dimension, r.Limit)
	}
	if r.Dimension != nil {
		w.TextIf("limit_is", string(r.LimitIs))
	}
	w.OpenList("needs")
	for _, in := range r.Needs {
		w.Text("", in.Name)
	}
	w.CloseList()
	w.Text("predicate", r.Predicate)
	w.Text("advice", r.Advice)
	w.Bool("overridable", r.Overridable())
	w.Text("source", string(r.Source))
	w.Text("status", string(r.Status))
	w.TextIf("note", r.Note)
	w.CloseObject()
}
