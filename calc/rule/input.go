package rule

import (
	_ "embed"
	"math"
	"slices"
	"strings"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
)

// Input is something that rules need to know. Its name is that of the member in
// which a request gives it.
type Input struct {
	Name        string
	Of          Subject // OfDesign, OfFixture or OfPipe
	Kind        InputKind
	Dimension   *quantity.Dimension // of an amount
	Least, Most float64             // of an amount in SI, of a count; what is outside is refused
	Words       []string            // of a word
	Given       bool                // a request may give it; what is not follows from the system alone
	Ask         string              // what to give where a request cannot give it; a JSON Pointer, without the leading / within the element
	Title       string              // for a sentence
	Description string

	index int
}

// InputKind says what values an input takes.
type InputKind string

// The kinds.
const (
	Amount InputKind = "amount" // of a dimension
	Count  InputKind = "count"
	Flag   InputKind = "flag" // yes or no
	Word   InputKind = "word" // of a list
)

// Facts is what is known of a design or of one of its elements. What was not
// given is unknown, which is neither zero nor no. The zero Facts knows nothing.
type Facts struct {
	number []float64 // by input; NaN: unknown. A flag is 1 or 0
	word   []string  // by input; "": unknown
}

func (f *Facts) grow() {
	if f.number == nil {
		f.number, f.word = make([]float64, len(inputs)), make([]string, len(inputs))
		for i := range f.number {
			f.number[i] = math.NaN()
		}
	}
}

// Give states an amount in SI, or a count.
func (f *Facts) Give(in *Input, value float64) {
	f.grow()
	f.number[in.index] = value
}

// GiveFlag states yes or no.
func (f *Facts) GiveFlag(in *Input, yes bool) {
	f.Give(in, 0)
	if yes {
		f.number[in.index] = 1
	}
}

// GiveWord states one of the input's words.
func (f *Facts) GiveWord(in *Input, word string) {
	f.grow()
	f.word[in.index] = word
}

// Knows reports that an input is known.
func (f *Facts) Knows(in *Input) bool {
	return f.number != nil && (!math.IsNaN(f.number[in.index]) || f.word[in.index] != "")
}

// Number gives an amount in SI or a count, and false if it is unknown.
func (f *Facts) Number(in *Input) (float64, bool) {
	if f.number == nil || math.IsNaN(f.number[in.index]) {
		return 0, false
	}
	return f.number[in.index], true
}

// Flag gives yes or no, and false in known if it is unknown.
func (f *Facts) Flag(in *Input) (yes, known bool) {
	v, known := f.Number(in)
	return v != 0, known
}

// Word gives a word, "" if it is unknown.
func (f *Facts) Word(in *Input) string {
	if f.number == nil {
		return ""
	}
	return f.word[in.index]
}

// Clone is a copy that can be added to.
func (f *Facts) Clone() Facts {
	return Facts{number: slices.Clone(f.number), word: slices.Clone(f.word)}
}

// Reset forgets everything and then takes over what other facts know.
func (f *Facts) Reset(to *Facts) {
	f.grow()
	if to != nil && to.number != nil {
		copy(f.number, to.number)
		copy(f.word, to.word)
		return
	}
	for i := range f.number {
		f.number[i] = math.NaN()
	}
	clear(f.word)
}

// Inputs lists what rules can need to know, in the order of the table.
func Inputs() []*Input { return inputs }

// FindInput finds an input by its name.
func FindInput(name string) (*Input, bool) {
	in, ok := inputIDs[name]
	return in, ok
}

//go:embed data/inputs.csv
var inputsCSV string

var (
	inputs   = readInputs()
	inputIDs = indexInputs(inputs)
)

func readInputs() []*Input {
	rows := table.MustRead(inputsCSV)
	all := make([]*Input, len(rows))
	for i, r := range rows {
		in := &Input{
			Name: r.Text("name"), Of: Subject(r.Text("of")), Kind: InputKind(r.Text("kind")), Words: strings.Fields(r.Text("words")),
			Given: r.Text("given") == "yes", Ask: r.Text("ask"), Title: r.Text("title"), Description: r.Text("description"), index: i,
		}
		if name := r.Text("dimension"); name != "" {
			in.Dimension = dimensionNamed(name)
		}
		in.Least, in.Most = bound(r, "least", in.Dimension), bound(r, "most", in.Dimension)
		all[i] = in
	}
	return all
}

// bound gives a cell in SI, or 0 if it is empty.
func bound(r table.Row, column string, d *quantity.Dimension) float64 {
	value, ok := r.Optional(column)
	if !ok || d == nil {
		return value
	}
	return d.MustUnit(r.Text("unit")).ToSI(value)
}

// dimensionNamed finds a dimension by its name. The dimension of diameters is
// that of lengths with smaller units to write it in.
func dimensionNamed(name string) *quantity.Dimension {
	if name == "Diameter" {
		return quantity.DiameterDimension
	}
	for _, d := range quantity.Dimensions() {
		if d.Name == name {
			return d
		}
	}
	panic("rule: there is no dimension " + name)
}

func indexInputs(all []*Input) map[string]*Input {
	byName := make(map[string]*Input, len(all))
	for _, in := range all {
		byName[in.Name] = in
	}
	return byName
}
