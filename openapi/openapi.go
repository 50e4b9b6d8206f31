// Package openapi owns the contract: openapi.yaml, written by hand, and the
// example requests in examples/ that it names. It serves both joined into one
// document.
package openapi

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"sync"

	"go.yaml.in/yaml/v3"
)

//go:embed openapi.yaml
var contract []byte

//go:embed examples
var examples embed.FS

// Examples holds the example requests, as files named OPERATION.NAME.json.
func Examples() fs.FS {
	sub, err := fs.Sub(examples, "examples")
	if err != nil {
		panic(err) // the folder is embedded above
	}
	return sub
}

// YAML is the contract with its examples in place.
func YAML() []byte { return published().yaml }

// JSON is the same document as JSON.
func JSON() []byte { return published().json }

type document struct{ yaml, json []byte }

// published joins contract and examples once, when somebody first asks.
var published = sync.OnceValue(func() document {
	var root yaml.Node
	must(yaml.Unmarshal(contract, &root))
	must(embedExamples(&root))
	asYAML, err := yaml.Marshal(&root)
	must(err)
	var asJSON bytes.Buffer
	must(writeJSON(&asJSON, &root))
	return document{asYAML, asJSON.Bytes()}
})

// writeJSON writes a node with its members in the author's order, which is the
// order that a reader of an example wants.
func writeJSON(out *bytes.Buffer, n *yaml.Node) error {
	switch n.Kind {
	case yaml.DocumentNode:
		return writeJSON(out, n.Content[0])
	case yaml.AliasNode:
		return writeJSON(out, n.Alias)
	case yaml.MappingNode:
		return writeMembers(out, n)
	case yaml.SequenceNode:
		return writeItems(out, n)
	}
	var value any
	if err := n.Decode(&value); err != nil {
		return err
	}
	return writeScalar(out, value)
}

func writeMembers(out *bytes.Buffer, n *yaml.Node) error {
	out.WriteByte('{')
	for i := 0; i+1 < len(n.Content); i += 2 {
		if i > 0 {
			out.WriteByte(',')
		}
		if err := writeScalar(out, n.Content[i].Value); err != nil { // a key is a string, 200 too
			return err
		}
		out.WriteByte(':')
		if err := writeJSON(out, n.Content[i+1]); err != nil {
			return err
		}
	}
	out.WriteByte('}')
	return nil
}

func writeItems(out *bytes.Buffer, n *yaml.Node) error {
	out.WriteByte('[')
	for i, item := range n.Content {
		if i > 0 {
			out.WriteByte(',')
		}
		if err := writeJSON(out, item); err != nil {
			return err
		}
	}
	out.WriteByte(']')
	return nil
}

func writeScalar(out *bytes.Buffer, value any) error {
	text, err := json.Marshal(value)
	out.Write(text)
	return err
}

// must stops the program: the contract is part of it, and a test reads it.
func must(err error) {
	if err != nil {
		panic(fmt.Sprintf("openapi: the embedded contract cannot be read: %v", err))
	}
}

// embedExamples puts the content of each example file where the contract names
// the file, because a document fetched from a service must stand alone.
func embedExamples(n *yaml.Node) error {
	if n.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(n.Content); i += 2 {
			if key := n.Content[i]; key.Value == "externalValue" {
				value, err := exampleNode(n.Content[i+1].Value)
				if err != nil {
					return err
				}
				key.Value = "value"
				n.Content[i+1] = value
			}
		}
	}
	for _, child := range n.Content {
		if err := embedExamples(child); err != nil {
			return err
		}
	}
	return nil
}

func exampleNode(file string) (*yaml.Node, error) {
	text, err := examples.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(text, &doc); err != nil { // JSON is YAML
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	return doc.Content[0], nil
}
