package picture_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"recirc/api"
)

var update = flag.Bool("update", false, "write the pictures anew, then look at them")

// TestPictures draws the example requests and compares with the pictures in
// testdata, which the README shows. They stand for layout, never for numbers.
func TestPictures(t *testing.T) {
	for _, p := range []struct{ calculation, example, picture string }{
		{"wait-times", "wait-times.house.json", "arrivals.svg"},
		{"heat-losses", "heat-losses.loop.json", "heat-losses.svg"},
	} {
		comparePicture(t, p.picture, drawn(t, p.calculation, p.example))
	}
}

func drawn(t *testing.T, calculation, example string) []byte {
	t.Helper()
	body, err := os.ReadFile(filepath.Join("..", "..", "openapi", "examples", example))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range api.Calculations() {
		if c.Name == calculation {
			picture, problem := c.Picture(string(body), api.DefaultLimits())
			if problem != nil {
				t.Fatal(string(problem.JSON()))
			}
			return picture
		}
	}
	t.Fatalf("no calculation %q", calculation)
	return nil
}

// checkSays wants a picture well formed, with some words and without others.
func checkSays(t *testing.T, got []byte, says, not []string) {
	t.Helper()
	wellFormed(t, got)
	for _, s := range says {
		if !bytes.Contains(got, []byte(s)) {
			t.Errorf("the picture does not say %q", s)
		}
	}
	for _, s := range not {
		if bytes.Contains(got, []byte(s)) {
			t.Errorf("the picture says %q", s)
		}
	}
}

// TestReadable: well-formed XML with a title, a description that says the
// numbers, axes with units, and no name of a caller that breaks out of it.
func TestReadable(t *testing.T) {
	for _, p := range []struct {
		calculation, example string
		says                 []string
	}{
		{"wait-times", "wait-times.house.json", []string{"<title>Hot water arriving</title>", "time since the tap was opened, s", "degF", "usable: 104 degF", "bath basin"}},
		{"wait-times", "wait-times.left-over.json", []string{"<desc>", "degC"}},
		{"heat-losses", "heat-losses.loop.json", []string{"<title>Heat loss by pipe</title>", "Btu/h", "as it is", "with the other insulation"}},
		{"loop-designs", "loop-designs.clinic.json", []string{"<title>Temperature along each circuit</title>", "degF", "target 117 degF", "critical", ">return<"}},
		{"loop-simulations", "loop-simulations.guest-house.json", []string{"distance from the heater, m", "target 57 degC", ">riser-4-return, cold<", "riser-1-return: "}},
	} {
		t.Run(p.example, func(t *testing.T) { checkSays(t, drawn(t, p.calculation, p.example), p.says, nil) })
	}
}

func wellFormed(t *testing.T, svg []byte) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Fatalf("the picture is not well-formed: %v", err)
		}
	}
}

// TestHostileNames: a caller's name stays text.
func TestHostileNames(t *testing.T) {
	const name = `</text><script>alert(1)</script>&\"`
	for _, c := range api.Calculations() {
		if !c.Drawn() {
			continue
		}
		body := example
		switch c.Name {
		case "loop-designs":
			body = looped
		case "loop-simulations":
			body = strings.TrimSuffix(looped, "}") + `,"pump":{"mode":"constant_pressure","set_head":{"value":1,"unit":"m"}}}`
		case "control-simulations":
			body = strings.TrimSuffix(example, "}") + `,"draws":{"pattern":"eu_s"},"arrangement":{"id":"NAME","type":"none"}}`
		case "retrofit-comparisons":
			body = strings.TrimSuffix(example, "}") + `,"draws":{"pattern":"eu_s"},"arrangements":[{"id":"NAME","type":"none"}]}`
		case "pump-selections":
			body = strings.TrimSuffix(looped, "}") + `,"duty":{"basis":"heat_loss"},"candidates":[{"id":"NAME","curve":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":2,"unit":"m"}},{"flow":{"value":9,"unit":"L/min"},"head":{"value":0,"unit":"m"}}]}]}`
		}
		body = strings.ReplaceAll(body, "NAME", name)
		svg, problem := c.Picture(body, api.DefaultLimits())
		if problem != nil {
			t.Fatal(string(problem.JSON()))
		}
		wellFormed(t, svg)
		if bytes.Contains(svg, []byte("<script>")) {
			t.Errorf("%s: a name became markup", c.Name)
		}
	}
}

const example = `{"system":{"heater":{"node":"h","type":"storage"},
"pipes":[{"id":"NAME","from":"h","to":"t","role":"supply","length":{"value":10,"unit":"m"},"tube":{"series":"copper_en1057","nominal":"15x1"}}],
"fixtures":[{"id":"NAME","node":"t","type":"shower"}]}}`

var looped = strings.Replace(example, `"15x1"}}]`, `"15x1"}},{"id":"back NAME","from":"t","to":"h","role":"return","length":{"value":10,"unit":"m"},"tube":{"series":"copper_en1057","nominal":"15x1"}}]`, 1)
