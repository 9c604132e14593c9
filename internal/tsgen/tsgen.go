// Package tsgen writes TypeScript types from Go types, so that the page and
// the engine cannot drift apart.
package tsgen

import (
	"fmt"
	"reflect"
	"strings"
)

// Write returns the TypeScript of the given struct values and of every struct
// they hold. Field names follow the json tags; pointers and slices may be null,
// as encoding/json writes them.
func Write(roots ...any) string {
	g := gen{seen: map[reflect.Type]bool{}}
	g.b.WriteString("// Written by internal/tsgen from the Go types. Do not edit.\n")
	for _, r := range roots {
		g.declare(reflect.TypeOf(r))
	}
	return g.b.String()
}

type gen struct {
	b    strings.Builder
	seen map[reflect.Type]bool
}

func (g *gen) declare(t reflect.Type) {
	if g.seen[t] {
		return
	}
	g.seen[t] = true
	var b strings.Builder
	fmt.Fprintf(&b, "\nexport interface %s {\n", t.Name())
	for i := range t.NumField() {
		f := t.Field(i)
		name, opts, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "-" || !f.IsExported() {
			continue
		}
		if name == "" {
			name = f.Name
		}
		if strings.Contains(opts, "omit") {
			name += "?"
		}
		fmt.Fprintf(&b, "  %s: %s;\n", name, g.name(f.Type))
	}
	b.WriteString("}\n")
	g.b.WriteString(b.String())
}

func (g *gen) name(t reflect.Type) string {
	switch t.Kind() {
	case reflect.String:
		return "string"
	case reflect.Bool:
		return "boolean"
	case reflect.Int, reflect.Int64, reflect.Float64:
		return "number"
	case reflect.Slice:
		if t.Elem().Kind() == reflect.Uint8 {
			return "string"
		}
		return g.name(t.Elem()) + "[] | null"
	case reflect.Pointer:
		return g.name(t.Elem()) + " | null"
	case reflect.Struct:
		g.declare(t)
		return t.Name()
	}
	panic("tsgen: no TypeScript for " + t.String())
}
