// Package openapi owns the contract: openapi.yaml, written by hand, and the
// example requests in examples/ that it names. It serves both joined into one
// document.
package openapi

import (
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
	var tree any
	must(root.Decode(&tree))
	asJSON, err := json.Marshal(tree)
	must(err)
	return document{asYAML, asJSON}
})

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
