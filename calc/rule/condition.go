package rule

import (
	"fmt"
	"math/bits"
	"slices"
	"strconv"
	"strings"

	"recirc/calc/quantity"
)

// condition is one of what must hold for a rule to speak about a case. It is
// written as
//
//	flag  !flag  word=a|b  word!=a|b  amount>8ft  amount>=  amount<  amount<=  count>1
//
// An input that is not known makes the rule one that cannot be assessed. With a
// question mark behind its name it does not: building?=residential leaves the rule
// out only where the building is known to be something else.
type condition struct {
	input   *Input
	op      string
	words   []string
	number  float64
	assumed bool // holds where the input is unknown
}

// truth of a condition.
type truth int8

const (
	unknown truth = iota
	holds
	fails
)

func (c *condition) of(k *Case) truth {
	var ok bool
	if c.input.Kind == Word {
		w := k.word(c.input)
		if w == "" {
			return c.ifUnknown()
		}
		ok = slices.Contains(c.words, w) == (c.op == "=")
	} else {
		v, known := k.number(c.input)
		if !known {
			return c.ifUnknown()
		}
		ok = c.compare(v)
	}
	if ok {
		return holds
	}
	return fails
}

func (c *condition) ifUnknown() truth {
	if c.assumed {
		return holds
	}
	return unknown
}

func (c *condition) compare(v float64) bool {
	slack := tolerance * max(c.number, -c.number)
	switch c.op {
	case "":
		return v != 0
	case "!":
		return v == 0
	case ">":
		return v > c.number+slack
	case ">=":
		return v >= c.number-slack
	case "<":
		return v < c.number-slack
	default:
		return v <= c.number+slack
	}
}

// readConditions reads the words of a cell.
func readConditions(cell string) []condition {
	var all []condition
	for _, text := range strings.Fields(cell) {
		all = append(all, readCondition(text))
	}
	return all
}

func readCondition(text string) condition {
	c := condition{}
	name, rest := text, ""
	if i := strings.IndexAny(text[1:], "!=<>"); i >= 0 {
		name, rest = text[:i+1], text[i+1:]
	} else if strings.HasPrefix(text, "!") {
		name, c.op = text[1:], "!"
	}
	name, c.assumed = strings.CutSuffix(name, "?")
	for _, op := range []string{"!=", ">=", "<=", "=", ">", "<"} {
		if strings.HasPrefix(rest, op) {
			c.op, rest = op, rest[len(op):]
			break
		}
	}
	c.input = mustInput(name)
	switch {
	case c.input.Kind == Word && (c.op == "=" || c.op == "!="):
		c.words = strings.Split(rest, "|")
		for _, w := range c.words {
			if !slices.Contains(c.input.Words, w) {
				panic(fmt.Sprintf("rule: condition %q: %s is never %q", text, name, w))
			}
		}
	case c.input.Kind == Flag && rest == "" && (c.op == "" || c.op == "!"):
	case (c.input.Kind == Amount || c.input.Kind == Count) && strings.ContainsAny(c.op, "<>"):
		c.number = amountIn(rest, c.input.Dimension)
	default:
		panic(fmt.Sprintf("rule: condition %q does not fit %s, a %s", text, name, c.input.Kind))
	}
	return c
}

// amountIn reads a number with its unit right behind it, or a count.
func amountIn(text string, d *quantity.Dimension) float64 {
	end := strings.IndexFunc(text, func(r rune) bool { return (r < '0' || r > '9') && r != '.' })
	if end < 0 {
		end = len(text)
	}
	value, err := strconv.ParseFloat(text[:end], 64)
	if err != nil {
		panic(fmt.Sprintf("rule: %q is no number with a unit", text))
	}
	if d == nil {
		return value
	}
	return d.MustUnit(text[end:]).ToSI(value)
}

func mustInput(name string) *Input {
	in, ok := FindInput(name)
	if !ok {
		panic(fmt.Sprintf("rule: there is no input %q", name))
	}
	return in
}

// InputSet is a set of inputs.
type InputSet [2]uint64

func (s *InputSet) add(in *Input) { s[in.index/64] |= 1 << (in.index % 64) }

// Empty reports that there is none.
func (s InputSet) Empty() bool { return s == InputSet{} }

// Inputs lists them in the order of the table.
func (s InputSet) Inputs() []*Input {
	var all []*Input
	for half, set := range s {
		for ; set != 0; set &= set - 1 {
			all = append(all, inputs[64*half+bits.TrailingZeros64(set)])
		}
	}
	return all
}
