package service

import (
	"encoding/binary"
	"slices"

	"recirc/calc/rule"
)

// mostClashElements is how many elements a clash names; it counts them all.
const mostClashElements = 20

// clashes gathers rules of one topic that come to different ends for one element.
type clashes struct {
	topics []string
	open   []topicEnds // by topic, for the element at hand
	found  map[string]*Clash
	order  []*Clash
}

// topicEnds is how the rules of a topic ended for one element.
type topicEnds struct{ met, notMet []*rule.Rule }

// next begins an element.
func (c *clashes) next() {
	for i := range c.open {
		c.open[i].met, c.open[i].notMet = c.open[i].met[:0], c.open[i].notMet[:0]
	}
}

// add takes the end of one rule; what was not assessed contradicts nothing.
func (c *clashes) add(r *rule.Rule, status rule.Status) {
	if r.Topic == "" || status == rule.NotAssessed {
		return
	}
	i := slices.Index(c.topics, r.Topic)
	if i < 0 {
		i = len(c.topics)
		c.topics, c.open = append(c.topics, r.Topic), append(c.open, topicEnds{})
	}
	if ends := &c.open[i]; status == rule.Met {
		ends.met = append(ends.met, r)
	} else {
		ends.notMet = append(ends.notMet, r)
	}
}

// close ends an element: topics whose rules disagree are clashes.
func (c *clashes) close(at element) {
	for i := range c.open {
		ends := &c.open[i]
		if len(ends.met) == 0 || len(ends.notMet) == 0 {
			continue
		}
		key := c.key(i, ends)
		found := c.found[key]
		if found == nil {
			if c.found == nil {
				c.found = map[string]*Clash{}
			}
			found = &Clash{Topic: c.topics[i], Kind: kindOfClash(ends), Met: slices.Clone(ends.met), NotMet: slices.Clone(ends.notMet)}
			c.found[key] = found
			c.order = append(c.order, found)
		}
		if found.Count++; len(found.Elements) < mostClashElements {
			found.Elements = append(found.Elements, at.pointer)
		}
	}
}

// key tells clashes of other rules apart. Rules are judged in one order, so alike
// clashes have alike lists.
func (c *clashes) key(topic int, ends *topicEnds) string {
	key := binary.AppendUvarint(nil, uint64(topic))
	for _, list := range [][]*rule.Rule{ends.met, ends.notMet} {
		for _, r := range list {
			key = append(append(key, r.ID...), 0)
		}
		key = append(key, 1)
	}
	return string(key)
}

// kindOfClash: within one document its two methods disagree.
func kindOfClash(ends *topicEnds) ClashKind {
	of := ends.met[0].Set
	for _, list := range [][]*rule.Rule{ends.met, ends.notMet} {
		for _, r := range list {
			if r.Set != of {
				return DocumentsClash
			}
		}
	}
	return MethodsClash
}

// list gives the clashes, those of a topic together, in the order found.
func (c *clashes) list() []Clash {
	var all []Clash
	for _, topic := range c.topics {
		for _, clash := range c.order {
			if clash.Topic == topic {
				all = append(all, *clash)
			}
		}
	}
	return all
}
