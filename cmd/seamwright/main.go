// Command seamwright plans a light glazed roof from a job file: what to mark,
// cut, order and do.
//
// Output rules: what was asked for goes to standard output, everything else to
// standard error. Exit codes: 0 done; 1 the input could not be used; 2 the plan
// holds a stop.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/alecthomas/kong"
)

// version is set by the linker in releases.
var version = "development"

type cli struct {
	Plan    planCmd    `cmd:"" help:"Plan a job: marks, pieces, cuts, order, price and order of work."`
	Built   builtCmd   `cmd:"" help:"While it is built: pin the set-out when work begins; then go on, correct or lift, new marks, the rip to come."`
	Replace replaceCmd `cmd:"" help:"Change one broken panel: what comes off, how far it pulls out, what to order."`
	Cut     cutCmd     `cmd:"" help:"Saw plan of one job, or of many as one day: cheapest stock with its proof, saw diagrams, rack, shares and saving."`
	Export  exportCmd  `cmd:"" help:"Write lists, workbook, 3D models, papers and drawings of a job into a folder or one zip file."`
	Quote   quoteCmd   `cmd:"" help:"Price a job in several tints, systems or purlin spacings side by side and write quote.pdf."`
	New     newCmd     `cmd:"" help:"Write a commented starter job that plans without edits."`
	Schema  schemaCmd  `cmd:"" help:"Print the JSON Schema of a job or catalogue file."`
	Serve   serveCmd   `cmd:"" help:"Serve the app and the jobs of a folder, on this machine or with a password to others."`
	Backup  backupCmd  `cmd:"" help:"Copy all jobs of a folder into one file, also while they are served."`
	Restore restoreCmd `cmd:"" help:"Put a backup in place."`
	Version versionCmd `cmd:"" help:"Print the version."`
}

// streams are where a command writes.
type streams struct{ out, err io.Writer }

// errStop ends with exit code 2: the work was done and holds a stop.
var errStop = errors.New("the plan holds a stop")

// errSaid ends with exit code 1: the reason has been printed already.
var errSaid = errors.New("said")

func main() { os.Exit(run(os.Args[1:], streams{os.Stdout, os.Stderr})) }

// run is main without the process: tests start it.
func run(args []string, s streams) int {
	var c cli
	exit := -1
	k, err := kong.New(&c, kong.Name("seamwright"), kong.Writers(s.out, s.err), kong.Exit(func(code int) { exit = code }),
		kong.Description("From the first tape measurement to the last screw of a light timber roof glazed with clip-fixed panels.\n\nStart with:  seamwright new roof.yaml  then  seamwright plan roof.yaml --out papers"),
		kong.UsageOnError(), kong.ConfigureHelp(kong.HelpOptions{Compact: true}))
	if err != nil {
		fmt.Fprintln(s.err, "error:", err)
		return 1
	}
	ctx, err := k.Parse(args)
	if exit >= 0 { // --help has been printed
		return exit
	}
	if err != nil {
		fmt.Fprintf(s.err, "error: %v\nhint:  seamwright --help lists the commands\n", err)
		return 1
	}
	switch err := ctx.Run(s); {
	case err == nil:
		return 0
	case errors.Is(err, errStop):
		return 2
	case errors.Is(err, errSaid):
		return 1
	default:
		fmt.Fprintln(s.err, "error:", err)
		return 1
	}
}

type versionCmd struct{}

func (versionCmd) Run(s streams) error {
	_, err := fmt.Fprintln(s.out, "seamwright", version)
	return err
}
