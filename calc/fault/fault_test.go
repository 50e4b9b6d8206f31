package fault_test

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"recirc/calc/fault"
)

func TestCodesAreUniqueAndSnakeCase(t *testing.T) {
	snake := regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	seen := map[fault.Code]bool{}
	for _, c := range fault.Codes() {
		if !snake.MatchString(string(c)) {
			t.Errorf("%q is not snake_case", c)
		}
		if seen[c] {
			t.Errorf("%q comes twice", c)
		}
		seen[c] = true
	}
}

// TestEveryDeclaredCodeIsListed: Codes is written by hand beside the constants,
// and the contract is compared with Codes, so a code left out there would reach
// clients that were never told of it.
func TestEveryDeclaredCodeIsListed(t *testing.T) {
	declared := declaredCodes(t)
	if len(declared) == 0 {
		t.Fatal("no constant found in code.go")
	}
	if listed := fault.Codes(); !slices.Equal(listed, declared) {
		t.Errorf("Codes lists\n%q\ncode.go declares\n%q", listed, declared)
	}
}

// declaredCodes reads the constants of type Code from the source.
func declaredCodes(t *testing.T) []fault.Code {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "code.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var codes []fault.Code
	for _, d := range file.Decls {
		constants, ok := d.(*ast.GenDecl)
		if !ok || constants.Tok != token.CONST {
			continue
		}
		for _, s := range constants.Specs {
			for _, v := range s.(*ast.ValueSpec).Values {
				text, err := strconv.Unquote(v.(*ast.BasicLit).Value)
				if err != nil {
					t.Fatal(err)
				}
				codes = append(codes, fault.Code(text))
			}
		}
	}
	return codes
}

func TestEmptyListIsNoError(t *testing.T) {
	var l fault.List
	if err := l.Err(); err != nil {
		t.Errorf("an empty list is the error %v", err)
	}
	if !l.Empty() || len(l.Faults()) != 0 || l.Dropped() != 0 {
		t.Errorf("empty %v, %d kept, %d dropped", l.Empty(), len(l.Faults()), l.Dropped())
	}
}

// TestListKeepsOrderAndText: a person corrects a file from top to bottom.
func TestListKeepsOrderAndText(t *testing.T) {
	var l fault.List
	l.Add("/pipes/0/length", fault.FieldMissing, "Pipe %q has no %s.", "main", "length")
	l.Add("/fixtures/2", fault.TypeWrong, "100%% wrong, %d times", 7)
	want := []fault.Fault{
		{Pointer: "/pipes/0/length", Code: fault.FieldMissing, Detail: `Pipe "main" has no length.`},
		{Pointer: "/fixtures/2", Code: fault.TypeWrong, Detail: "100% wrong, 7 times"},
	}
	if l.Empty() || fmt.Sprint(l.Faults()) != fmt.Sprint(want) {
		t.Errorf("got %v, want %v", l.Faults(), want)
	}
}

func TestErrNamesTheFirstFault(t *testing.T) {
	var l fault.List
	const first = "/pipes/0/length: The length is missing. (field_missing)"
	l.Add("/pipes/0/length", fault.FieldMissing, "The length is missing.")
	if got := l.Err().Error(); got != first {
		t.Errorf("one fault: %q, want %q", got, first)
	}
	l.Add("/pipes/1/length", fault.FieldMissing, "The length is missing.")
	if got, want := l.Err().Error(), "2 faults, the first: "+first; got != want {
		t.Errorf("two faults: %q, want %q", got, want)
	}
	var carried *fault.Error
	if !errors.As(fmt.Errorf("reading a house: %w", l.Err()), &carried) || carried.List != &l {
		t.Error("the list cannot be had back from a wrapped error")
	}
}

// TestListIsCapped: at the cap nothing is dropped, beyond it all is counted and
// nothing is kept.
func TestListIsCapped(t *testing.T) {
	var l fault.List
	for i := range fault.MaxListed {
		l.Add("/"+strconv.Itoa(i), fault.OutOfRange, "No building has this.")
	}
	if len(l.Faults()) != fault.MaxListed || l.Dropped() != 0 {
		t.Errorf("at the cap: %d kept, %d dropped", len(l.Faults()), l.Dropped())
	}
	for range 3 {
		l.Add("/late", fault.OutOfRange, "No building has this.")
	}
	if len(l.Faults()) != fault.MaxListed || l.Dropped() != 3 {
		t.Errorf("beyond the cap: %d kept, %d dropped, want %d and 3", len(l.Faults()), l.Dropped(), fault.MaxListed)
	}
	if last := l.Faults()[fault.MaxListed-1].Pointer; last != "/"+strconv.Itoa(fault.MaxListed-1) {
		t.Errorf("the last one kept is %q; the first ones found are worth most", last)
	}
	if got, want := l.Err().Error(), fmt.Sprintf("%d faults, the first: /0:", fault.MaxListed+3); !strings.HasPrefix(got, want) {
		t.Errorf("got %q, want it to begin with %q", got, want)
	}
}
