package api

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"recirc/api/answer"
	"recirc/openapi"
)

// orderedContract is the contract with its members in the order in which they are
// written, which a map forgets.
type orderedContract struct{ schemas *yaml.Node }

func readOrderedContract(t *testing.T) *orderedContract {
	t.Helper()
	var doc yaml.Node
	if err := yaml.Unmarshal(openapi.YAML(), &doc); err != nil {
		t.Fatal(err)
	}
	return &orderedContract{memberOf(memberOf(doc.Content[0], "components"), "schemas")}
}

// memberOf is the value of a member of a mapping; nil if there is none.
func memberOf(n *yaml.Node, name string) *yaml.Node {
	for i := 0; n != nil && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			return n.Content[i+1]
		}
	}
	return nil
}

// schema follows references.
func (c *orderedContract) schema(n *yaml.Node) *yaml.Node {
	for {
		if ref := memberOf(n, "$ref"); ref != nil {
			n = memberOf(c.schemas, strings.TrimPrefix(ref.Value, "#/components/schemas/"))
		} else if parts := memberOf(n, "allOf"); parts != nil {
			n = parts.Content[0]
		} else {
			return n
		}
	}
}

// misplaced lists the members of a JSON value that stand in another order than in its
// schema.
func (c *orderedContract) misplaced(at string, n *yaml.Node, d *json.Decoder) (wrong []string) {
	n = c.schema(n)
	switch open, _ := d.Token(); open {
	case json.Delim('{'):
		properties := memberOf(n, "properties")
		last := -1
		for d.More() {
			token, _ := d.Token()
			name := token.(string)
			place := slices.IndexFunc(properties.Content, func(k *yaml.Node) bool { return k.Value == name })
			if place < last {
				wrong = append(wrong, at+"/"+name)
			}
			last = place
			wrong = append(wrong, c.misplaced(at+"/"+name, memberOf(properties, name), d)...)
		}
		_, _ = d.Token() // its end
	case json.Delim('['):
		for d.More() {
			wrong = append(wrong, c.misplaced(at+"/*", memberOf(n, "items"), d)...)
		}
		_, _ = d.Token()
	}
	return wrong
}

// TestMembersStandInTheContractsOrder: a reader of an answer finds its members where
// the contract has them.
func TestMembersStandInTheContractsOrder(t *testing.T) {
	c := readOrderedContract(t)
	for _, row := range handMade {
		var w answer.Writer
		row.write(&w)
		text, err := w.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		if wrong := c.misplaced("", memberOf(c.schemas, row.schema), json.NewDecoder(bytes.NewReader(text))); wrong != nil {
			t.Errorf("%s: not in the order of the contract: %q", row.name, wrong)
		}
	}
}

// TestOrderIsSeen proves that the check above can fail.
func TestOrderIsSeen(t *testing.T) {
	c := readOrderedContract(t)
	const pumps = `[{"starts":1,"runs":[{"to":{"unit":"s","value":1},"from":{"value":1,"unit":"s"}}]}]`
	got := c.misplaced("", memberOf(memberOf(memberOf(c.schemas, "ControlSimulationAnswer"), "properties"), "pumps"), json.NewDecoder(strings.NewReader(pumps)))
	if want := []string{"/*/runs", "/*/runs/*/to/value", "/*/runs/*/from"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}
