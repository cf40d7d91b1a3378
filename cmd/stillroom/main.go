// Command stillroom turns a folder of Markdown recipe pages into a handbook that a maker of body care can weigh from, publish and print.
package main

import (
	"io"
	"os"

	"github.com/alecthomas/kong"
)

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// The exit codes.
const (
	done       = 0
	held       = 1 // a recipe has an unaccepted stop finding
	unreadable = 2 // a problem in the input, in the command line, or in reading and writing files
)

// commands is what the command line can say.
type commands struct {
	Version versionFlag `help:"Tell the version, and end."`

	Publish publishCommand `cmd:"" help:"Build the handbook into a folder of web pages."`
	Preview previewCommand `cmd:"" help:"Show the handbook in the browser while you write, each save at once."`
	Binder  binderCommand  `cmd:"" help:"Make the printed edition for a ring binder, or a sheet for the bench."`
	Weigh   weighCommand   `cmd:"" help:"Work a recipe out for one or more batches."`
	Check   checkCommand   `cmd:"" help:"Say what is wrong, unsafe or worth knowing, and write nothing."`
	Facts   factsCommand   `cmd:"" help:"Tell what is known of a material, and where from."`
	Begin   beginCommand   `cmd:"" help:"Start a new handbook."`
	Add     addCommand     `cmd:"" help:"Add a page to a handbook: recipe, ingredient or note."`
	Members membersCommand `cmd:"" help:"Say who may read the members' pages."`
	Record  recordCommand  `cmd:"" help:"Start a batch record: what is to be weighed, to be filled in as you weigh."`
	Labels  labelsCommand  `cmd:"" help:"Print a recipe's labels on a sheet of blank ones."`
	Stock   stockCommand   `cmd:"" help:"Tell what is left of each lot, what planned batches need, and what to buy."`
}

const summary = "Turns a folder of Markdown recipe pages into a handbook that a maker of body care can weigh from, publish and print."

// run carries out one command line and gives the exit code.
func run(args []string, _ io.Reader, stdout, stderr io.Writer) int {
	t := &talk{out: stdout, err: stderr}
	helped := false
	parser, err := kong.New(&commands{}, kong.Name("stillroom"), kong.Description(summary), kong.UsageOnError(),
		kong.Writers(stdout, stderr), kong.Exit(func(int) { helped = true }), kong.Bind(t),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}))
	if err != nil {
		return t.fail(err)
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	parsed, err := parser.Parse(args)
	switch {
	case helped:
		return done
	case err != nil:
		return t.fail(err, "stillroom --help lists the commands, stillroom COMMAND --help tells of one")
	}
	if err := parsed.Run(); err != nil {
		return t.fail(err)
	}
	return t.code
}
