// Coilsheet gives the results of Coilwright without a window: it reads a
// design file and prints or writes what the window would show.
//
//	coilsheet report desk.coil.json
//
// It exits with 0 when done, 1 when a design is refused or a comparison fails,
// with the reason on standard error, and 2 when it was not called as its usage
// says.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"

	"coilwright/physics/design"
	"coilwright/release"
)

// Exit codes.
const (
	exitDone    = 0
	exitRefused = 1
	exitUsage   = 2
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// A command is one of the things coilsheet does.
type command struct {
	name    string
	usage   string // its arguments
	purpose string // what it does, in a few words
	run     func(context.Context, call) error
}

// call is how a command was called.
type call struct {
	args           []string // after the name of the command
	stdin          io.Reader
	stdout, stderr io.Writer
	command        command
}

// commands returns what coilsheet does, in the order of its usage.
func commands() []command {
	return []command{
		{"report", "FILE", "print every number of a design as JSON", report},
		{"plots", "[-out FOLDER] [-format png|svg|pdf|csv] [-dpi N] FILE", "write the figures of a design, its field, its driver and its readings", plots},
		{"plan", "[-json] [-inch] [-loop D] FILE", "print how to wind the parts of a design, step by step", plan},
		{"sheet", "[-paper a4|letter] [-copies N | -vary KEY -values LIST] [-inch] [-loop D] -out F.pdf FILE", "write the build sheet of a design, or of a set of coils", buildSheet},
		{"templates", "[-paper a4|letter] [-inch] -out F.pdf|F.svg FILE", "write templates to scale: spacing disc, strips round the formers, gauge", templates},
		{"jig", "[-part disc|former|stop|all] [-clearance D] [-height D] -out F.stl FILE", "write a disc that spaces the ring's turns and a former with end stops for a 3D printer", jig},
		{"shop", "[-coils N] [-prices F.json] [-labels] -out F.csv|F.pdf FILE", "write what to buy for some coils, or labels for them", shop},
		{"check", "[-json]", "compare our numbers with published and independent ones", check},
		{"find", "-frequency F|-capacitance C -vary KEY FILE", "change one number of a design so that it meets a target, and print it", find},
		{"drawer", "-frequency F [-max-height H] [-former D] [-wire W] [-design FILE] [-json] STOCK", "list the coils that can be built from a stock and ring at a frequency", drawer},
		{"fit", "[-kind ringdown|sweep] FILE.s1p|FILE.csv", "find frequency and quality factor in what an instrument saved", fit},
		{"compare", "FILE", "hold the readings of a design against what is predicted, say what explains them and what to change, as JSON", compare},
		{"circuit", "FILE.circuit.json", "print what a driver does with a coil of known values as JSON", circuit},
		{"netlist", "FILE", "print the driver of a design or circuit file for a circuit simulator", netlist},
	}
}

// errUsage says that a command was not called as its usage says; the reason
// was told.
var errUsage = errors.New("usage")

// run does what the arguments say and returns the exit code.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		printUsage(stderr)
		return exitUsage
	}
	switch args[0] {
	case "help", "-h", "-help", "--help":
		printUsage(stdout)
		return exitDone
	case "-version", "--version":
		fmt.Fprintln(stdout, "coilsheet", release.Version())
		return exitDone
	}
	for _, c := range commands() {
		if c.name != args[0] {
			continue
		}
		return exitCode(c.run(ctx, call{args[1:], stdin, stdout, stderr, c}), stderr)
	}
	fmt.Fprintf(stderr, "coilsheet: there is no command %q\n", args[0])
	printUsage(stderr)
	return exitUsage
}

// exitCode tells an error and returns the code for it.
func exitCode(err error, stderr io.Writer) int {
	switch {
	case err == nil, errors.Is(err, flag.ErrHelp):
		return exitDone
	case errors.Is(err, errUsage):
		return exitUsage
	}
	for line := range strings.SplitSeq(err.Error(), "\n") {
		fmt.Fprintln(stderr, "coilsheet: "+line)
	}
	return exitRefused
}

func printUsage(to io.Writer) {
	fmt.Fprintln(to, "Coilsheet reads a Coilwright design and gives its results without a window.")
	fmt.Fprintln(to, "\nUsage:")
	for _, c := range commands() {
		fmt.Fprintf(to, "  coilsheet %s %s\n      %s\n", c.name, c.usage, c.purpose)
	}
	fmt.Fprintln(to, "  coilsheet -version\n      print which version this is")
	fmt.Fprintln(to, "\nFlags come before FILE. FILE - is standard input.")
	fmt.Fprintln(to, "The exit code is 0 when done, 1 when a design is refused or a number is beyond")
	fmt.Fprintln(to, "what is allowed, 2 for wrong usage.")
}

// parse reads flags and exactly one file name.
func (c call) parse(flags *flag.FlagSet) (file string, err error) {
	if err := c.parseFlags(flags); err != nil {
		return "", err
	}
	if flags.NArg() != 1 {
		return "", c.wrong(flags, "exactly one FILE is needed, after the flags")
	}
	return flags.Arg(0), nil
}

// parseAlone reads the flags of a command that takes no file.
func (c call) parseAlone(flags *flag.FlagSet) error {
	if err := c.parseFlags(flags); err != nil {
		return err
	}
	if flags.NArg() != 0 {
		return c.wrong(flags, fmt.Sprintf("no FILE is needed, there is %q", flags.Arg(0)))
	}
	return nil
}

func (c call) parseFlags(flags *flag.FlagSet) error {
	flags.SetOutput(c.stderr)
	flags.Usage = func() {
		fmt.Fprintf(c.stderr, "Usage: coilsheet %s %s\n", c.command.name, c.command.usage)
		flags.PrintDefaults()
	}
	if err := flags.Parse(c.args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return err
		}
		return errUsage // flags has told the reason
	}
	return nil
}

// wrong tells what is wrong with a call.
func (c call) wrong(flags *flag.FlagSet, reason string) error {
	fmt.Fprintf(c.stderr, "coilsheet %s: %s\n", c.command.name, reason)
	flags.Usage()
	return errUsage
}

// read reads the design file of that name; "-" is standard input. Its error
// names the file on every line.
func (c call) read(file string) (design.Design, error) {
	return readWith(c, file, design.Read, design.ReadFile)
}

// readWith reads a file of some kind; "-" is standard input. Its error names the
// file on every line.
func readWith[T any](c call, file string, read func(io.Reader) (T, error), readFile func(string) (T, error)) (T, error) {
	if file == "-" {
		content, err := read(c.stdin)
		return content, named(c.label(file), err)
	}
	content, err := readFile(file)
	if pathError := new(os.PathError); errors.As(err, &pathError) {
		return content, err // it names the file
	}
	return content, named(file, err)
}

// label names a file in a message.
func (c call) label(file string) string {
	if file == "-" {
		return "standard input"
	}
	return file
}

// named puts a name before every line of an error.
func named(name string, err error) error {
	if err == nil {
		return nil
	}
	return errors.New(name + ": " + strings.ReplaceAll(err.Error(), "\n", "\n"+name+": "))
}
