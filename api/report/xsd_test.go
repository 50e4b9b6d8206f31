package report_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// xsdNode is an element of a schema or of a document.
type xsdNode struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Children []xsdNode  `xml:",any"`
	Text     string     `xml:",chardata"`
}

func (n *xsdNode) attr(name string) string {
	for _, a := range n.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// below lists the elements of a kind, however deep.
func (n *xsdNode) below(kind string) []*xsdNode {
	var all []*xsdNode
	for i := range n.Children {
		c := &n.Children[i]
		if c.XMLName.Local == kind {
			all = append(all, c)
		}
		all = append(all, c.below(kind)...)
	}
	return all
}

// junitSchema is as much of XML Schema as the schema of JUnit XML uses: elements by
// reference in choices, attributes, patterns of text, mixed content.
type junitSchema struct{ elements, types map[string]*xsdNode }

// readJUnitSchema reads testdata/junit-10.xsd, the schema by which a widely used
// build server reads such files; it is MIT-licensed and was taken from the
// source package of Debian's python3-xmlrunner.
func readJUnitSchema(t testing.TB) *junitSchema {
	t.Helper()
	text, err := os.ReadFile("testdata/junit-10.xsd")
	if err != nil {
		t.Fatal(err)
	}
	var root xsdNode
	if err := xml.Unmarshal(text, &root); err != nil {
		t.Fatal(err)
	}
	s := &junitSchema{map[string]*xsdNode{}, map[string]*xsdNode{}}
	for i := range root.Children {
		c := &root.Children[i]
		switch c.XMLName.Local {
		case "element":
			s.elements[c.attr("name")] = c
		default:
			s.types[c.attr("name")] = c
		}
	}
	return s
}

// faults lists where a document breaks the schema.
func (s *junitSchema) faults(text []byte) []string {
	var root xsdNode
	d := xml.NewDecoder(bytes.NewReader(text))
	if err := d.Decode(&root); err != nil {
		return []string{err.Error()}
	}
	if _, err := d.Token(); err != io.EOF {
		if rest, ok := any(err).(error); ok && rest != nil {
			return []string{rest.Error()}
		}
	}
	return s.element(&root)
}

func (s *junitSchema) element(n *xsdNode) []string {
	name := n.XMLName.Local
	declared := s.elements[name]
	if declared == nil {
		return []string{"there is no element " + name}
	}
	if declared.attr("type") == "xs:string" {
		return nil
	}
	var faults []string
	attributes := declared.below("attribute")
	for _, a := range n.Attrs {
		i := slices.IndexFunc(attributes, func(x *xsdNode) bool { return x.attr("name") == a.Name.Local })
		if i < 0 {
			faults = append(faults, name+" has no attribute "+a.Name.Local)
			continue
		}
		if kind := attributes[i].attr("type"); kind != "xs:string" {
			pattern := s.types[kind].below("pattern")[0].attr("value")
			if !regexp.MustCompile("^(?:" + pattern + ")$").MatchString(a.Value) {
				faults = append(faults, fmt.Sprintf("%s of %s is %q", a.Name.Local, name, a.Value))
			}
		}
	}
	for _, a := range attributes {
		if a.attr("use") == "required" && !slices.ContainsFunc(n.Attrs, func(x xml.Attr) bool { return x.Name.Local == a.attr("name") }) {
			faults = append(faults, name+" lacks "+a.attr("name"))
		}
	}
	types := declared.below("complexType")
	if strings.TrimSpace(n.Text) != "" && types[0].attr("mixed") != "true" {
		faults = append(faults, name+" holds text")
	}
	for i := range n.Children {
		c := &n.Children[i]
		if !slices.ContainsFunc(declared.below("element"), func(x *xsdNode) bool { return x.attr("ref") == c.XMLName.Local }) {
			faults = append(faults, name+" holds "+c.XMLName.Local)
		}
		faults = append(faults, s.element(c)...)
	}
	return faults
}

func TestSchemaOfJUnitBites(t *testing.T) {
	s := readJUnitSchema(t)
	const good = `<testsuites name="x"><testsuite name="a" tests="1" failures="1" errors="0" time="1.5"><testcase name="b"><failure type="c" message="d">e</failure></testcase></testsuite></testsuites>`
	if faults := s.faults([]byte(good)); faults != nil {
		t.Fatalf("a good document: %q", faults)
	}
	for _, c := range []struct{ old, new, want string }{
		{` tests="1"`, ``, "testsuite lacks tests"},
		{`name="b"`, `name="b" line="3"`, "testcase has no attribute line"},
		{`<failure`, `<wrong/><failure`, "testcase holds wrong"},
		{`<testcase`, `text<testcase`, "testsuite holds text"},
		{`1.5`, `soon`, "time of testsuite"},
		{`</testsuites>`, ``, "unexpected EOF"},
	} {
		if faults := s.faults([]byte(strings.Replace(good, c.old, c.new, 1))); len(faults) == 0 || !strings.Contains(strings.Join(faults, "; "), c.want) {
			t.Errorf("%s: %q", c.want, faults)
		}
	}
}
