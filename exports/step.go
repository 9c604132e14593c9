package exports

import (
	"bytes"
	"crypto/sha1"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"
)

// step writes the data section of a STEP file (ISO 10303-21: clear text
// encoding of the exchange structure).
type step struct {
	b bytes.Buffer
	n int
}

// The kinds of argument beside string, float64 and int.
type (
	ref   int    // of an entity; 0 is not given
	enum  string // .NAME.
	typed struct {
		name  string
		value any
	}
	list    []any
	derived struct{}
)

// add writes an entity and returns its number.
func (s *step) add(entity string, args ...any) ref {
	s.n++
	fmt.Fprintf(&s.b, "#%d=%s", s.n, entity)
	s.arg(list(args))
	s.b.WriteString(";\n")
	return ref(s.n)
}

func (s *step) arg(a any) {
	switch a := a.(type) {
	case nil:
		s.b.WriteByte('$')
	case derived:
		s.b.WriteByte('*')
	case ref:
		if a == 0 {
			s.b.WriteByte('$')
			return
		}
		fmt.Fprintf(&s.b, "#%d", int(a))
	case enum:
		s.b.WriteString("." + string(a) + ".")
	case bool:
		s.b.WriteString(map[bool]string{true: ".T.", false: ".F."}[a])
	case int:
		s.b.WriteString(strconv.Itoa(a))
	case float64:
		s.b.WriteString(stepReal(a))
	case string:
		s.b.WriteString(stepText(a))
	case typed:
		s.b.WriteString(a.name)
		s.arg(list{a.value})
	case list:
		s.b.WriteByte('(')
		for i, x := range a {
			if i > 0 {
				s.b.WriteByte(',')
			}
			s.arg(x)
		}
		s.b.WriteByte(')')
	default:
		panic(fmt.Sprintf("step: %T cannot be written", a))
	}
}

// stepReal writes a real to nine decimals; the point is part of the syntax.
func stepReal(f float64) string {
	s := decimals(f, 9)
	if !strings.Contains(s, ".") {
		s += "."
	}
	return s
}

// stepText writes a string: quote and backslash doubled, what is not printable
// ASCII as UTF-16 in \X2\ … \X0\ (ISO 10303-21, 6.4.3).
func stepText(s string) string {
	var b strings.Builder
	b.WriteByte('\'')
	wide := false
	for _, r := range s {
		plain := r >= 0x20 && r < 0x7f
		if plain && wide {
			b.WriteString(`\X0\`)
		} else if !plain && !wide {
			b.WriteString(`\X2\`)
		}
		wide = !plain
		switch {
		case !plain:
			for _, u := range utf16.Encode([]rune{r}) {
				fmt.Fprintf(&b, "%04X", u)
			}
		case r == '\'' || r == '\\':
			b.WriteRune(r)
			b.WriteRune(r)
		default:
			b.WriteRune(r)
		}
	}
	if wide {
		b.WriteString(`\X0\`)
	}
	b.WriteByte('\'')
	return b.String()
}

// The 64 digits of an IFC GUID (buildingSMART, IFC GUID).
const guidDigits = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$"

// guid names an identity for good: a name-based UUID (RFC 9562, version 5) of
// job and identity in the 22 digits of IFC. The same piece of the same job keeps
// its GUID through every revision.
func guid(job, identity string) string {
	h := sha1.Sum([]byte("seamwright\x00" + job + "\x00" + identity))
	u := h[:16]
	u[6], u[8] = u[6]&0x0f|0x50, u[8]&0x3f|0x80
	out := make([]byte, 0, 22)
	digits := func(v uint32, n int) {
		for i := n - 1; i >= 0; i-- {
			out = append(out, guidDigits[v>>(6*i)&63])
		}
	}
	digits(uint32(u[0]), 2)
	for i := 1; i < 16; i += 3 {
		digits(uint32(u[i])<<16|uint32(u[i+1])<<8|uint32(u[i+2]), 4)
	}
	return string(out)
}
