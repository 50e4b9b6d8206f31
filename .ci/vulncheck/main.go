//go:build ignore

// Command vulncheck judges the findings of govulncheck (its -format json on
// standard input): it fails on every vulnerability that the code calls, save
// those of the standard library that the file of known ones lists.
package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"
)

type known struct{ fixed, reason string }

// finding is one way from our code into a vulnerable symbol, that symbol first.
type finding struct {
	OSV   string `json:"osv"`
	Fixed string `json:"fixed_version"`
	Trace []struct {
		Module   string `json:"module"`
		Version  string `json:"version"`
		Function string `json:"function"`
	} `json:"trace"`
}

func main() {
	if len(os.Args) != 2 {
		fail(errors.New("usage: vulncheck FILE < govulncheck.json"))
	}
	list, err := readKnown(os.Args[1])
	if err != nil {
		fail(err)
	}
	called, err := readCalled(os.Stdin)
	if err != nil {
		fail(err)
	}
	if !judge(called, list) {
		os.Exit(1)
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, "vulncheck:", err)
	os.Exit(2)
}

func readKnown(file string) (map[string]known, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }()
	list := map[string]known{}
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		fields := strings.Fields(lines.Text())
		if len(fields) == 0 || strings.HasPrefix(fields[0], "#") {
			continue
		}
		if len(fields) < 3 {
			return nil, fmt.Errorf("%s: %q lacks the fixing version or the reason", file, lines.Text())
		}
		list[fields[0]] = known{fields[1], strings.Join(fields[2:], " ")}
	}
	return list, lines.Err()
}

// readCalled gives one finding for each vulnerability that is called; those
// merely present in a module or an imported package have no function.
func readCalled(in io.Reader) (map[string]finding, error) {
	called := map[string]finding{}
	complete := false
	for messages := json.NewDecoder(in); ; {
		var message struct {
			Config *struct {
				Level string `json:"scan_level"`
			} `json:"config"`
			Finding *finding `json:"finding"`
		}
		switch err := messages.Decode(&message); {
		case err == io.EOF && !complete:
			return nil, errors.New("the report holds no scan for called symbols")
		case err == io.EOF:
			return called, nil
		case err != nil:
			return nil, err
		}
		if message.Config != nil {
			complete = message.Config.Level == "symbol"
		}
		if f := message.Finding; f != nil && len(f.Trace) > 0 && f.Trace[0].Function != "" {
			called[f.OSV] = *f
		}
	}
}

// judge reports and says whether all is well.
func judge(called map[string]finding, list map[string]known) bool {
	well := true
	for _, id := range slices.Sorted(maps.Keys(called)) {
		f := called[id]
		where := fmt.Sprintf("%s %s, fixed in %s", f.Trace[0].Module, f.Trace[0].Version, f.Fixed)
		k, listed := list[id]
		if listed && f.Trace[0].Module == "stdlib" {
			fmt.Printf("known  %s (%s): %s\n", id, where, k.reason)
			continue
		}
		fmt.Printf("FAULT  %s (%s): see https://pkg.go.dev/vuln/%s\n", id, where, id)
		well = false
	}
	for _, id := range slices.Sorted(maps.Keys(list)) {
		if _, found := called[id]; !found {
			fmt.Printf("note   %s is listed (fixed in %s) and not found with this Go\n", id, list[id].fixed)
		}
	}
	return well
}
