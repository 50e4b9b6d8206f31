package api

import (
	"cmp"
	"net/url"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"

	"recirc/api/answer"
	"recirc/calc/fault"
)

// parameters reads a query strictly.
type parameters struct {
	c      *gin.Context
	faults []problemFault
}

func query(c *gin.Context, known ...string) *parameters {
	q := &parameters{c: c}
	given, err := url.ParseQuery(c.Request.URL.RawQuery)
	if err != nil { // what cannot be read must not pass for left out
		q.fault(c.Request.URL.RawQuery, fault.ParameterUnknown, "The query cannot be read: & alone stands between parameters, and % before two hexadecimal digits.")
	}
	names := make([]string, 0, len(given))
	for name := range given {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		switch {
		case !slices.Contains(known, name):
			q.fault(name, fault.ParameterUnknown, "There is no parameter of this name here; the parameters are: "+cmp.Or(strings.Join(known, ", "), "none")+".")
		case len(given[name]) > 1:
			q.fault(name, fault.ListLength, "The parameter is given more than once.")
		}
	}
	return q
}

func (q *parameters) fault(name string, code fault.Code, detail string) {
	q.faults = append(q.faults, problemFault{Parameter: strings.ToValidUTF8(name, "?"), Code: code, Detail: detail})
}

func (q *parameters) oneOf(name string, list []string) string {
	value, given := q.c.GetQuery(name)
	if given && !slices.Contains(list, value) {
		q.fault(name, fault.ValueNotListed, "The value is not in the list: "+strings.Join(list, ", ")+".")
	}
	return value
}

// answer begins an answer in the unit system asked for.
func (q *parameters) answer() *answer.Writer {
	return &answer.Writer{US: q.oneOf("unit_system", unitSystems) == "us_customary"}
}

// refused ends the request if the query has faults.
func (q *parameters) refused() bool {
	if len(q.faults) == 0 {
		return false
	}
	p := invalid.problem("The errors say which parameter to change.")
	p.Errors = q.faults
	p.write(q.c)
	return true
}
