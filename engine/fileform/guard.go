package fileform

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Bounds that hold before a parser sees the bytes. The YAML parser slows down
// with the square of some inputs (40 000 opening brackets, one long line of
// flow entries); each bound stops one such input and lies far beyond any file
// a person writes.
const (
	maxBytes     = 1 << 20
	maxDepth     = 64
	maxYAMLLines = 20_000
	maxYAMLLine  = 4_000 // characters
	maxOpeners   = 10_000
	maxCommas    = 20_000
)

// guard checks the raw bytes and returns them with byte order mark removed and
// every line end turned into \n. A problem means: do not parse.
func guard(data []byte) (clean []byte, p *Problem) {
	if len(data) > maxBytes {
		return nil, &Problem{Code: "too-big",
			Message: fmt.Sprintf("the file has %d bytes; at most 1 MiB (1048576 bytes) is read", len(data)),
			Want:    "one job or one catalogue, some hundred lines"}
	}
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) {
		return nil, &Problem{Code: "encoding", Line: 1, Column: 1, Message: "the file is UTF-16 text", Want: "UTF-8 text; save it again with the encoding UTF-8"}
	}
	start := 0
	if bytes.HasPrefix(data, []byte("\xef\xbb\xbf")) {
		start = 3
	}
	if p := badCharacter(data, start); p != nil {
		return nil, p
	}
	clean = bytes.ReplaceAll(data[start:], []byte("\r\n"), []byte("\n"))
	return bytes.ReplaceAll(clean, []byte("\r"), []byte("\n")), nil
}

// badCharacter finds the first byte that is no UTF-8 or a control character
// that no text holds. Offsets count from the start of the file as it is.
func badCharacter(data []byte, start int) *Problem {
	line, col := 1, 1
	for i := start; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			return &Problem{Code: "encoding", Line: line, Column: col,
				Message: fmt.Sprintf("byte %d of the file (0x%02x) is not UTF-8 text", i, data[i]),
				Want:    "UTF-8 text; save the file again with the encoding UTF-8"}
		case r == 0:
			return &Problem{Code: "control-character", Line: line, Column: col, Message: fmt.Sprintf("byte %d of the file is NUL; this is not a text file, or it was cut off while being written", i), Want: "UTF-8 text"}
		case r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0x7f:
			return &Problem{Code: "control-character", Line: line, Column: col, Message: fmt.Sprintf("byte %d of the file is the control character 0x%02x", i, r), Want: "text, tabs and line ends"}
		case r == '\n', r == '\r' && (i+1 == len(data) || data[i+1] != '\n'):
			line, col = line+1, 0
		}
		i, col = i+n, col+1
	}
	return nil
}

// guardYAML applies the bounds that only matter to the YAML parser, and finds
// tabs in indentation, which it would report in its own words.
func guardYAML(lines []string) *Problem {
	if len(lines) > maxYAMLLines {
		return &Problem{Code: "too-big", Line: maxYAMLLines + 1, Column: 1, Message: fmt.Sprintf("the file has %d lines; at most %d are read", len(lines), maxYAMLLines)}
	}
	openers, commas := 0, 0
	for i, l := range lines {
		openers += strings.Count(l, "[") + strings.Count(l, "{")
		commas += strings.Count(l, ",")
		if len(l) > maxYAMLLine && utf8.RuneCountInString(l) > maxYAMLLine {
			return &Problem{Code: "too-big", Line: i + 1, Column: maxYAMLLine + 1, Message: fmt.Sprintf("the line has %d characters; at most %d are read", utf8.RuneCountInString(l), maxYAMLLine), Want: "shorter lines; long notes may go on over several lines"}
		}
		if indicators(l) > maxDepth {
			return tooDeep(Place{i + 1, 1})
		}
	}
	if openers > maxOpeners || commas > maxCommas {
		return &Problem{Code: "too-big", Message: fmt.Sprintf("the file has %d opening brackets and %d commas; at most %d and %d are read", openers, commas, maxOpeners, maxCommas)}
	}
	return flowDepth(lines)
}

// indicators counts the marks "- ", "? ", "&x ", "!x " that a line begins
// with; each opens a level.
func indicators(l string) int {
	n := 0
	for _, w := range strings.Fields(l) {
		if w != "-" && w != "?" && w[0] != '&' && w[0] != '!' {
			break
		}
		n++
	}
	return n
}

func tooDeep(at Place) *Problem {
	return &Problem{Code: "too-deep", Line: at.Line, Column: at.Column, Message: fmt.Sprintf("brackets or lists are nested more than %d deep", maxDepth), Want: "a job has at most six levels; a closing bracket may be missing"}
}

// flowDepth counts [ and { that stand where a value may begin, skipping
// quoted texts and comments. Inch marks inside a plain text are no quotes:
// a quote opens only where a value may begin.
func flowDepth(lines []string) *Problem {
	depth, inQuote := 0, byte(0)
	for i, l := range lines {
		start := true // a value may begin here
		for j := 0; j < len(l); j++ {
			c := l[j]
			switch {
			case inQuote != 0:
				switch {
				case inQuote == '"' && c == '\\':
					j++
				case c == inQuote && c == '\'' && j+1 < len(l) && l[j+1] == '\'':
					j++
				case c == inQuote:
					inQuote, start = 0, false
				}
				continue
			case c == '#' && (j == 0 || l[j-1] == ' ' || l[j-1] == '\t'):
				j = len(l)
			case c == ' ', c == '\t':
			case start && (c == '"' || c == '\''):
				inQuote = c
			case (start || depth > 0) && (c == '[' || c == '{'):
				if depth++; depth > maxDepth {
					return tooDeep(Place{i + 1, utf8.RuneCountInString(l[:j]) + 1})
				}
			case depth > 0 && (c == ']' || c == '}'):
				depth--
				start = true
			case depth > 0 && c == ',', c == ':', c == '-' && start:
				start = true
			default:
				start = false
			}
		}
	}
	return nil
}

// tabIndent finds a tab used as indentation and offers the line with spaces.
func tabIndent(lines []string) *Problem {
	for i, l := range lines {
		body := strings.TrimLeft(l, " \t")
		lead := l[:len(l)-len(body)]
		if !strings.Contains(lead, "\t") || body == "" || body[0] == '#' {
			continue
		}
		return &Problem{Code: "tab", Line: i + 1, Column: strings.Index(lead, "\t") + 1,
			Message: "a tab stands in the indentation, and how deep a tab goes differs from screen to screen", Want: "spaces, two for each level",
			Corrected: strings.ReplaceAll(lead, "\t", "  ") + body}
	}
	return nil
}
