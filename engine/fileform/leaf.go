package fileform

import (
	"encoding"
	"reflect"
	"strconv"
	"strings"

	"seamwright/engine/length"
)

// textValue reads lengths, quantities and money: types that know their text.
func (d *decoder) textValue(n *node, v reflect.Value, path string) {
	err := d.setText(v, n.text)
	if err == nil {
		return
	}
	if d.full() {
		d.add(Problem{})
		return
	}
	msg, want, _ := strings.Cut(err.Error(), "; accepted: ")
	want, _, _ = strings.Cut(want, "; try ")
	p := Problem{Code: "bad-value", Line: n.at.Line, Column: n.at.Column, Path: path, Read: clip(n.text, 60), Message: msg, Want: want}
	if p.Want == "" {
		p.Want = accepts(v.Type())
	}
	if v.Type() == lengthType {
		p.Code = "bad-length"
	}
	if better := guessText(n.text, v.Type(), d.system, d.setText); better != "" {
		p.edit = d.fix(n, better, false)
	}
	d.add(p)
}

// setText sets v from its text. While the document's unit is unknown, a bare
// length passes if it could be read in either: the missing unit is one problem
// and not one for every reading.
func (d *decoder) setText(v reflect.Value, s string) error {
	if v.Type() != lengthType {
		return v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(s))
	}
	sys := d.system
	if sys == length.NoUnit {
		sys = length.InInches
	}
	l, err := length.Parse(s, sys)
	if err == nil {
		v.SetInt(int64(l))
	}
	return err
}

// plainValue reads texts, words, numbers and true or false.
func (d *decoder) plainValue(n *node, v reflect.Value, path string, f field) {
	p := Problem{Line: n.at.Line, Column: n.at.Column, Path: path, Read: clip(n.text, 60), Want: d.wanted(v.Type(), f)}
	switch v.Kind() {
	case reflect.String:
		p = d.stringValue(n, v, p, f)
	case reflect.Bool:
		p = d.boolValue(n, v, p)
	case reflect.Int, reflect.Int64:
		p = d.intValue(n, v, p)
	case reflect.Float64:
		p = d.floatValue(n, v, p)
	default:
		panic("fileform: the format has no values of type " + v.Type().String())
	}
	if p.Code != "" {
		d.add(p)
	}
}

func (d *decoder) stringValue(n *node, v reflect.Value, p Problem, f field) Problem {
	switch {
	case len(f.enum) > 0:
		for _, e := range f.enum {
			if n.text == e {
				v.SetString(e)
				return p
			}
		}
		p.Code, p.Message = "unknown-word", quote(clip(n.text, 60))+" is not known here"
		if near := nearest(n.text, f.enum); near != "" {
			p.DidYouMean, p.edit = near, d.fix(n, near, false)
		}
		return p
	case strings.TrimSpace(n.text) == "" && f.required:
		p.Code, p.Message = "empty-value", "the text is empty"
		return p
	case !n.quoted && isBoolWord(n.text):
		p.Code, p.Message = "bad-text", n.text+" without quotes is a yes or no, not a text"
		p.edit = d.fix(n, quote(n.text), true)
		return p
	case controls(n.text):
		p.Code, p.Message = "control-character", "the text holds a control character"
		return p
	case d.eatenByComment(n):
		line := d.src.line(n.at.Line)
		at := len(string([]rune(line)[:n.at.Column-1]))
		p.Code, p.Message = "comment", "the # after a space begins a comment, so the text ends at "+quote(clip(n.text, 40))
		p.Want = "quotes around a text that holds #, or a space after # where a comment is meant"
		p.edit = edit{line: line, from: n.at.Column - 1, to: len([]rune(line)), with: yamlQuoted(line[at:])}
		return p
	}
	v.SetString(n.text)
	return p
}

// eatenByComment recognises "Unit #4": in YAML everything from # on is lost.
// A comment proper has a space after its mark.
func (d *decoder) eatenByComment(n *node) bool {
	if d.src.json || n.quoted {
		return false
	}
	line := []rune(d.src.line(n.at.Line))
	if n.at.Column-1 > len(line) {
		return false
	}
	rest, ok := strings.CutPrefix(string(line[n.at.Column-1:]), n.text)
	if !ok {
		return false
	}
	mark := strings.TrimLeft(rest, " \t")
	return mark != rest && len(mark) > 1 && mark[0] == '#' && mark[1] != ' ' && mark[1] != '#' && mark[1] != '-'
}

func controls(s string) bool {
	return strings.ContainsFunc(s, func(r rune) bool { return r < ' ' && r != '\n' && r != '\t' || r == 0x7f })
}

func isBoolWord(s string) bool {
	switch s {
	case "true", "True", "TRUE", "false", "False", "FALSE":
		return true
	}
	return false
}

func (d *decoder) boolValue(n *node, v reflect.Value, p Problem) Problem {
	if !n.quoted && (n.text == "true" || n.text == "false") {
		v.SetBool(n.text == "true")
		return p
	}
	p.Code, p.Message = "bad-value", n.what()+" is neither true nor false"
	switch strings.ToLower(n.text) {
	case "yes", "y", "on", "true", "1":
		p.edit = d.fix(n, "true", true)
	case "no", "n", "off", "false", "0":
		p.edit = d.fix(n, "false", true)
	}
	return p
}

func (d *decoder) intValue(n *node, v reflect.Value, p Problem) Problem {
	if !n.quoted && wholeNumber(n.text) {
		i, err := strconv.ParseInt(n.text, 10, 64)
		if err == nil {
			v.SetInt(i)
			return p
		}
	}
	p.Code, p.Message = "bad-number", notNumber(n, "a whole number")
	if g := guessNumber(n.text); wholeNumber(g) {
		p.edit = d.fix(n, g, true)
	}
	return p
}

func (d *decoder) floatValue(n *node, v reflect.Value, p Problem) Problem {
	if !n.quoted && plainNumber(n.text) {
		if x, err := strconv.ParseFloat(n.text, 64); err == nil {
			v.SetFloat(x)
			return p
		}
	}
	p.Code, p.Message = "bad-number", notNumber(n, "a plain number")
	if g := guessNumber(n.text); plainNumber(g) {
		p.edit = d.fix(n, g, true)
	}
	return p
}

func notNumber(n *node, what string) string {
	t := strings.TrimLeft(n.text, "-+")
	switch {
	case n.quoted && plainNumber(n.text):
		return quote(n.text) + " is a text in quotes, not a number"
	case len(t) > 1 && t[0] == '0' && strings.Trim(t, "01234567") == "":
		return n.text + " begins with a zero, which some programs read in base eight"
	}
	return quote(clip(n.text, 60)) + " is not " + what
}

// wholeNumber accepts -?(0|[1-9][0-9]*), at most nine digits: the same number
// to every reader, and no count of anything on a roof is larger.
func wholeNumber(s string) bool {
	t := strings.TrimPrefix(s, "-")
	return t != "" && len(t) <= 9 && strings.Trim(t, "0123456789") == "" && (t[0] != '0' || s == "0")
}

// plainNumber accepts a whole number with optional decimals. Not accepted:
// exponents, leading zeros, bare points, .nan, .inf, underscores, a sign +.
func plainNumber(s string) bool {
	whole, dec, point := strings.Cut(s, ".")
	digits := strings.TrimPrefix(whole, "-")
	if digits == "" || len(s) > 25 || strings.Trim(digits, "0123456789") != "" || digits[0] == '0' && digits != "0" {
		return false
	}
	return !point || dec != "" && strings.Trim(dec, "0123456789") == ""
}
