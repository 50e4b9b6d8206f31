package designfile

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
	"go.yaml.in/yaml/v4"

	"recirc/api/scan"
)

// mostYAML bounds a YAML file, in bytes: the tree of a hostile one takes 300 times
// as much memory as its text, and a microsecond for each byte.
const mostYAML = 8 << 20

// readYAML reads one YAML document as JSON. It takes what JSON can say: names
// are strings and stand once, numbers are written as JSON writes them, aliases
// stand for what they name as long as all of it stays small.
func readYAML(text string, mostBytes int) (*File, *Fault) {
	if len(text) > mostYAML {
		return nil, &Fault{Position{1, 1}, fmt.Sprintf("A YAML file has at most %d bytes; write a larger design as JSON.", mostYAML)}
	}
	loader, err := yaml.NewLoader(strings.NewReader(text))
	if err != nil {
		return nil, noYAML(err)
	}
	var document, second yaml.Node
	switch err := loader.Load(&document); {
	case errors.Is(err, io.EOF):
		return nil, &Fault{Position{1, 1}, "The file is empty; a design is needed."}
	case err != nil:
		return nil, noYAML(err)
	}
	switch err := loader.Load(&second); {
	case err == nil:
		return nil, &Fault{Position{second.Line, second.Column}, "A second document starts here; a file holds one design."}
	case !errors.Is(err, io.EOF):
		return nil, noYAML(err)
	}
	c := converter{most: mostBytes}
	c.value(document.Content[0])
	if c.fault != nil {
		return nil, c.fault
	}
	return &File{JSON: string(c.out), tree: document.Content[0]}, nil
}

// noYAML is an error of the library. What it says of the context is where the
// construct began that it could not read to its end.
func noYAML(err error) *Fault {
	var e *yaml.LoadError
	if !errors.As(err, &e) || e.Mark.Line < 1 {
		return &Fault{Position{1, 1}, "Not valid YAML: " + err.Error() + "."}
	}
	text := e.Message
	if e.ContextMsg != "" {
		text = e.ContextMsg + ": " + text
	}
	return &Fault{Position{e.Mark.Line, max(e.Mark.Column, 1)}, "Not valid YAML: " + text + "."}
}

// converter writes nodes as JSON, until the first fault.
type converter struct {
	out   []byte
	most  int
	depth int
	fault *Fault
}

// refuse notes a fault at a node.
func (c *converter) refuse(n *yaml.Node, format string, args ...any) {
	if c.fault == nil {
		c.fault = &Fault{Position{n.Line, n.Column}, fmt.Sprintf(format, args...)}
	}
}

func (c *converter) value(n *yaml.Node) {
	switch {
	case c.fault != nil:
		return
	case len(c.out) > c.most: // an alias of aliases of aliases ends here
		c.refuse(n, "With its aliases written out, the file is larger than %d bytes.", c.most)
		return
	case c.depth == scan.MostDeep: // and an alias within what it names here
		c.refuse(n, "Values stand in each other more than %d deep.", scan.MostDeep)
		return
	}
	c.depth++
	switch n.Kind {
	case yaml.MappingNode:
		c.object(n)
	case yaml.SequenceNode:
		c.list(n)
	case yaml.AliasNode:
		c.value(n.Alias)
	default:
		c.scalar(n)
	}
	c.depth--
}

func (c *converter) object(n *yaml.Node) {
	if tag := n.ShortTag(); tag != "!!map" {
		c.refuse(n, "The tag %s says nothing in a design.", tag)
		return
	}
	seen := make(map[string]struct{}, len(n.Content)/2)
	c.out = append(c.out, '{')
	for i := 0; i+1 < len(n.Content); i += 2 {
		if i > 0 {
			c.out = append(c.out, ',')
		}
		name := n.Content[i]
		if name.Kind != yaml.ScalarNode || !isText(name) {
			c.refuse(name, "The name of a member is a string; put it between quotation marks.")
			return
		}
		if _, twice := seen[name.Value]; twice {
			c.refuse(name, "The name %q stands here twice.", name.Value)
			return
		}
		seen[name.Value] = struct{}{}
		c.text(name)
		c.out = append(c.out, ':')
		c.value(n.Content[i+1])
	}
	c.out = append(c.out, '}')
}

func (c *converter) list(n *yaml.Node) {
	if tag := n.ShortTag(); tag != "!!seq" {
		c.refuse(n, "The tag %s says nothing in a design.", tag)
		return
	}
	c.out = append(c.out, '[')
	for i, item := range n.Content {
		if i > 0 {
			c.out = append(c.out, ',')
		}
		c.value(item)
	}
	c.out = append(c.out, ']')
}

// isText reports a scalar that is a string. A date is one too: JSON has no other
// way to write it. A number that float64 cannot hold is none, although the
// library then takes it for one.
func isText(n *yaml.Node) bool {
	tag := n.ShortTag()
	return tag == "!!timestamp" || tag == "!!str" && !(n.Style == 0 && isNumber(n.Value))
}

// truths are how YAML 1.2 writes what JSON writes as true, false and null.
var truths = map[string]string{
	"true": "true", "True": "true", "TRUE": "true", "false": "false", "False": "false", "FALSE": "false",
	"null": "null", "Null": "null", "NULL": "null", "~": "null", "": "null",
}

func (c *converter) scalar(n *yaml.Node) {
	switch tag := n.ShortTag(); {
	case isText(n):
		c.text(n)
	case tag == "!!bool" || tag == "!!null":
		c.out = append(c.out, truths[n.Value]...)
		if truths[n.Value] == "" {
			c.refuse(n, "%s is written true, false or null.", shown(n.Value))
		}
	case tag == "!!int" || tag == "!!float" || tag == "!!str":
		if !isNumber(n.Value) {
			c.refuse(n, "%s is no number as JSON writes it, such as 12, 0.5 or 1e-3; a text stands between quotation marks.", shown(n.Value))
			return
		}
		c.out = append(c.out, n.Value...)
	default:
		c.refuse(n, "The tag %s says nothing in a design.", tag)
	}
}

// isNumber reports a number of JSON. YAML has others, which readers take for
// different ones: 010 is eight or ten.
func isNumber(text string) bool {
	s := scan.New(text)
	_, digits, ok := s.Number()
	return ok && len(digits) == len(text)
}

func (c *converter) text(n *yaml.Node) {
	var err error
	if c.out, err = jsontext.AppendQuote(c.out, n.Value); err != nil {
		c.refuse(n, "A text is not UTF-8.")
	}
}

// shown shortens a text for use in a sentence.
func shown(text string) string {
	if runes := []rune(text); len(runes) > 64 {
		text = string(runes[:64]) + "..."
	}
	return strconv.Quote(text)
}

// yamlPosition follows a pointer through the nodes, as far as it goes.
func yamlPosition(n *yaml.Node, way []string) Position {
	at := Position{n.Line, n.Column}
	for _, name := range way {
		for n.Kind == yaml.AliasNode {
			n = n.Alias
		}
		if n = yamlChild(n, name); n == nil {
			break
		}
		at = Position{n.Line, n.Column}
	}
	return at
}

func yamlChild(n *yaml.Node, name string) *yaml.Node {
	switch n.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == name {
				return n.Content[i+1]
			}
		}
	case yaml.SequenceNode:
		if i, err := strconv.Atoi(name); err == nil && strconv.Itoa(i) == name && i >= 0 && i < len(n.Content) {
			return n.Content[i]
		}
	}
	return nil
}
