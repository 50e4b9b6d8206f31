// Package designfile reads a design that people keep in a file, as JSON or as
// YAML: it gives the JSON that the strict reader takes, and the line and column
// at which each value stands.
package designfile

import (
	"path"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"

	"recirc/api/scan"
)

// Position is a place in a file. Line and column count from 1, the column in
// characters.
type Position struct{ Line, Column int }

// Fault is why a text is no JSON or no YAML, and where.
type Fault struct {
	Position
	Detail string // a sentence
}

// File is a design as it was read.
type File struct {
	// JSON is the design as a JSON text: that of the file, or what its YAML says.
	JSON string

	tree *yaml.Node // of YAML; nil for JSON
}

// IsYAML reports that a file of this name is read as YAML (RFC 9512: .yaml,
// .yml). Every other one is JSON.
func IsYAML(name string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".yaml", ".yml":
		return true
	}
	return false
}

// Read reads a text as the name of its file says. It does not look at what the
// text means; it gives a fault if it is no JSON, or no YAML that says as much as
// JSON can. mostBytes bounds the JSON that YAML becomes.
func Read(name, text string, mostBytes int) (*File, *Fault) {
	if IsYAML(name) {
		return readYAML(text, mostBytes)
	}
	s := scan.New(text)
	s.Skip()
	if err := s.Err(); err != nil {
		at := lines{text: text}
		return nil, &Fault{at.position(err.Offset), "Not valid JSON: " + err.Reason + "."}
	}
	if !s.AtEnd() {
		at := lines{text: text}
		return nil, &Fault{at.position(s.Offset()), "There is more text behind the JSON value."}
	}
	return &File{JSON: text}, nil
}

// Positions gives the place of each value that a JSON Pointer (RFC 6901) names;
// of one that is not there, that of the nearest value around it.
func (f *File) Positions(pointers []string) []Position {
	all := make([]Position, len(pointers))
	if f.tree != nil {
		for i, p := range pointers {
			all[i] = yamlPosition(f.tree, tokens(p))
		}
		return all
	}
	root := &branch{}
	for _, p := range pointers {
		root.ask(tokens(p))
	}
	root.find(scan.New(f.JSON), &lines{text: f.JSON})
	for i, p := range pointers {
		all[i] = root.nearest(tokens(p))
	}
	return all
}

// tokens are the names and numbers that a pointer goes along.
func tokens(pointer string) []string {
	if pointer == "" {
		return nil
	}
	all := strings.Split(strings.TrimPrefix(pointer, "/"), "/")
	for i := range all {
		all[i] = unescape.Replace(all[i])
	}
	return all
}

var unescape = strings.NewReplacer("~1", "/", "~0", "~")

// lines turns rising byte offsets into positions, each byte counted once: a file
// may be one long line.
type lines struct {
	text         string
	offset       int // counted so far
	line, column int // there, from 0
}

func (l *lines) position(offset int) Position {
	between := l.text[l.offset:offset]
	if i := strings.LastIndexByte(between, '\n'); i >= 0 {
		l.line += strings.Count(between, "\n")
		l.column, between = 0, between[i+1:]
	}
	l.column += utf8.RuneCountInString(between)
	l.offset = offset
	return Position{l.line + 1, l.column + 1}
}
