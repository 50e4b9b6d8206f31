package body

import (
	"slices"
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
	if !r.scan.OpenObject() {
		r.wrongType("an object")
		return false
	}
	var seen uint64
	for next := 0; ; { // most callers write the fields in the contract's order
		name, ok := r.scan.Member(o.name(next))
		if !ok {
			break
		}
		i := o.index(name, next)
		if i < 0 {
			o.unknown(r, name)
			continue
		}
		seen |= 1 << i
		next = i + 1
		o.Fields[i].Read(r, into)
	}
	return r.scan.Err() == nil && o.complete(r, seen)
}

// name of a field; empty behind the last one.
func (o *Object[T]) name(i int) string {
	if i == len(o.Fields) {
		return ""
	}
	return o.Fields[i].Name
}

// index finds a field by name, from the next one on.
func (o *Object[T]) index(name string, next int) int {
	for i := next; i < len(o.Fields); i++ {
		if o.Fields[i].Name == name {
			return i
		}
	}
	for i := range next {
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
	r.Fault(fault.FieldUnknown, "There is no field %s here; the fields are %s.", Shown(name), strings.Join(names, ", "))
}

func (o *Object[T]) complete(r *Reader, seen uint64) bool {
	all := true
	for i, f := range o.Fields {
		if f.Required && seen&(1<<i) == 0 {
			r.FaultAt(f.Name, fault.FieldMissing, "The field %s is missing.", f.Name)
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
	if !r.scan.OpenList() {
		r.wrongType("a list")
		return
	}
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

// leastItem is the size from which on a text is taken for a whole item of a list
// of objects, in bytes.
const leastItem = 64

// Room gives a list of objects that is being read room for another one: for a few
// at first, and then for as many of their size as the rest of the text may hold.
// start is the [Reader.Offset] at which the list starts.
func Room[T any](r *Reader, start int, list []T, most int) []T {
	n := len(list)
	if n < cap(list) {
		return list
	}
	more := 8
	if n > 0 {
		size := max((r.Offset()-start)/n, leastItem)
		more = (len(r.text)-r.Offset())/size + 1
	}
	return slices.Grow(list, max(1, min(more, most-n)))
}
