// Package fileform reads and writes the files a person keeps: jobs and
// catalogues, in YAML or JSON. Bytes in, values and problems out; it opens
// nothing.
//
// The struct tags of packages job and catalogue are the format. The reader,
// the writer, the published schema and the error texts are all made from them,
// so a field added there is at once read, written, described and suggested:
//
//	key:"tapes,required"  name in the file; required fields must be there
//	doc:"…"               meaning, shown in errors and in the schema
//	enum:"inch|mm"        accepted words
//
// Read in this order:
//
//   - problem.go   what a person is told: place, what was read, what to write
//   - guard.go     what is refused before a parser sees the bytes
//   - node.go      the tree both parsers fill; yaml.go and jsontext.go fill it
//   - shape.go     struct tags, taken apart
//   - decode.go    tree → value; leaf.go for single values
//   - guess.go     did-you-mean and corrected lines
//   - encode.go    value → JSON or YAML
//   - schema.go    value type → JSON Schema 2020-12
//   - catalogue.go contradictions inside a catalogue; job.go inside a job
//   - starter.go   the job a newcomer begins with
//
// Strictness is deliberate. A number read as octal, a comma that splits a
// metric reading in two, or a field with a slip in its name that is silently
// left out each costs somebody a sheet of panels.
package fileform
