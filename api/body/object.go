package body

import (
	"strings"

	"recirc/calc/fault"
)

// Field is one member of an object: how it is called and how it is read.
type Field[T any] struct {
	Name     string
	Required bool
	Read     func(*Reader, *T)
}

// Required makes a field that must be there.
func Required[T any](name string, read func(*Reader, *T)) Field[T] {
	return Field[T]{Name: name, Required: true, Read: read}
}

// Optional makes a field that may be left out.
func Optional[T any](name string, read func(*Reader, *T)) Field[T] {
	return Field[T]{Name: name, Read: read}
}

// Object is a closed set of fields, named as its schema in the contract.
type Object[T any] struct {
	Schema string
	Fields []Field[T]
}

// NewObject makes the reader of one schema; at most 64 fields.
func NewObject[T any](schema string, fields ...Field[T]) *Object[T] {
	return &Object[T]{Schema: schema, Fields: fields}
}

// Read reads the next value as this object. It reports whether every required
// field was there, well or ill formed.
func (o *Object[T]) Read(r *Reader, into *T) bool {
	if r.scan.Kind() != '{' {
		r.wrongType("an object")
		return false
	}
	r.scan.OpenObject()
	var seen uint64
	expected := 0 // most callers write the fields in the contract's order
	for name, ok := r.scan.Member(); ok; name, ok = r.scan.Member() {
		i := o.index(name, expected)
		if i < 0 {
			o.unknown(r, name)
			continue
		}
		seen |= 1 << i
		expected = i + 1
		o.Fields[i].Read(r, into)
	}
	return r.scan.Err() == nil && o.complete(r, seen)
}

// index finds a field by name; it looks at the expected one first.
func (o *Object[T]) index(name string, expected int) int {
	for i := expected; i < len(o.Fields); i++ {
		if o.Fields[i].Name == name {
			return i
		}
	}
	for i := range expected {
		if o.Fields[i].Name == name {
			return i
		}
	}
	return -1
}

func (o *Object[T]) unknown(r *Reader, name string) {
	r.Skip()
	names := make([]string, len(o.Fields))
	for i, f := range o.Fields {
		names[i] = f.Name
	}
	r.Fault(fault.FieldUnknown, "There is no field %s here; the fields are %s.", shown(name), strings.Join(names, ", "))
}

func (o *Object[T]) complete(r *Reader, seen uint64) bool {
	all := true
	for i, f := range o.Fields {
		if f.Required && seen&(1<<i) == 0 {
			r.faults.Add(r.Pointer()+"/"+f.Name, fault.FieldMissing, "The field %s is missing.", f.Name)
			all = false
		}
	}
	return all
}

// Names and required names, for the test that compares with the contract.
func (o *Object[T]) Names() (all, required []string) {
	for _, f := range o.Fields {
		all = append(all, f.Name)
		if f.Required {
			required = append(required, f.Name)
		}
	}
	return all, required
}

// List reads the next value as a list of at least least and at most most
// items (most 0: no bound), calling item for each.
func (r *Reader) List(least, most int, item func(index int)) {
	if r.scan.Kind() != '[' {
		r.wrongType("a list")
		return
	}
	r.scan.OpenList()
	n := 0
	for ; r.scan.Item(); n++ {
		if most > 0 && n >= most {
			r.Skip()
		} else {
			item(n)
		}
	}
	switch {
	case n < least:
		r.Fault(fault.ListLength, "The list has %d items; at least %d is needed.", n, least)
	case most > 0 && n > most:
		r.Fault(fault.ListLength, "The list has %d items; at most %d are allowed.", n, most)
	}
}
