package main

import (
	"fmt"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"lampwright/report"
)

// wordings turn what the parser of the command line says into the builder's words: what is wrong, and what to do unless the
// command's help is all there is to say. $1 and $2 are parts of what the parser said. TestUsage holds every row to the parser.
var wordings = []struct {
	said *regexp.Regexp
	what string
	next string
}{
	{regexp.MustCompile(`^expected "<job>( <module>)?"$`), "the job file is missing", "name it after the command: lampwright COMMAND my-tail.yaml"},
	{regexp.MustCompile(`^expected "<module>"$`), "the module is missing", "name it after the job file: lampwright COMMAND my-tail.yaml rear-lh"},
	{regexp.MustCompile(`^expected "<file>"$`), "the name of the file is missing", "name it after the command: lampwright COMMAND my-tail.yaml"},
	{regexp.MustCompile(`^missing flags: --out=FOLDER$`), "the folder to make is missing", "add it: -o my-kit"},
	{regexp.MustCompile(`^unexpected argument (.+?)(?:, did you mean .*)?$`), "$1 is one argument too many", "put quotes around what belongs together; lampwright COMMAND --help shows an example"},
	{regexp.MustCompile(`^unknown flag (--[^ ,]+), did you mean (?:one of )?"([^"]+)".*\?$`), "there is no option $1", "did you mean $2? lampwright COMMAND --help lists the options"},
	{regexp.MustCompile(`^unknown flag ([^ ,]+).*$`), "there is no option $1 here", "lampwright COMMAND --help lists the options"},
	{regexp.MustCompile(`^(--\S+): (?:missing value|expected .+ value but got "EOL").*$`), "$1 needs a value after it", ""},
	{regexp.MustCompile(`^(--\S+): expected .+ value but got "(.+)" \(.*flag\).*$`), "$1 needs a value after it, and $2 looks like an option", "if it is the value, write $1=$2"},
	{regexp.MustCompile(`^(--\S+): expected a valid \d+ bit u?int but got "(.*)"$`), "$1 cannot be $2: that is not a whole number", ""},
	{regexp.MustCompile(`^(--\S+): expected a float but got "(.*)" \(.*$`), "$1 cannot be $2: that is not a number", ""},
	{regexp.MustCompile(`^(--\S+): bool value must be .* but got "(.*)"$`), "$1 cannot be $2: it takes no value", "leave =$2 out"},
	{regexp.MustCompile(`^(--\S+) must be one of (.+) but got "(.*)"$`), "$1 cannot be $3", "write one of $2"},
}

// usage explains a command line that cannot be read.
func (e *env) usage(args []string, err error) status {
	command := ""
	for _, arg := range args {
		if !strings.HasPrefix(arg, "-") {
			command = arg
			break
		}
	}
	if !slices.Contains(commandNames(), command) && command != "" {
		return e.noCommand(command, args)
	}
	what, next, _ := reword(err.Error())
	next = strings.ReplaceAll(strings.ReplaceAll(next, `","`, ", "), `"`, "") // a list of words as the parser writes it
	switch {
	case command == "":
		next = "lampwright --help lists the commands"
	case next == "":
		next = "lampwright " + command + " --help shows an example"
	}
	e.problem(what, strings.ReplaceAll(next, "COMMAND", command))
	return badUsage
}

// reword puts what the parser said into other words; row is the row of wordings that did, or -1.
func reword(said string) (what, next string, row int) {
	for i, w := range wordings {
		if at := w.said.FindStringSubmatchIndex(said); at != nil {
			return string(w.said.ExpandString(nil, w.what, said, at)), string(w.said.ExpandString(nil, w.next, said, at)), i
		}
	}
	return said, "", -1
}

// noCommand tells that the first word is none of the commands, and what was meant by it.
func (e *env) noCommand(word string, args []string) status {
	known := commandNames()
	what := fmt.Sprintf("there is no command %q", word)
	for _, arg := range args {
		if slices.Contains(known, arg) {
			e.problem(what, fmt.Sprintf("the command comes first: lampwright %s %s", arg, shown(word)))
			return badUsage
		}
	}
	if _, err := os.Stat(word); err == nil {
		e.problem(what, fmt.Sprintf("say what to do with the file: lampwright check %s, or one of %s", shown(word), listing(known)))
		return badUsage
	}
	next := "use one of " + listing(known)
	if near := report.Suggest(word, known); near != "" {
		next = fmt.Sprintf("did you mean %s? lampwright --help lists the commands", near)
	}
	e.problem(what, next)
	return badUsage
}

// empty tells of an argument that holds nothing, as a variable of the shell that was never set.
func (e *env) empty(args []string) bool {
	for i, arg := range args {
		if arg == "" && (i == 0 || !strings.HasPrefix(args[i-1], "-")) {
			e.problem(fmt.Sprintf("argument %d is empty", i+1), "write a name there; a variable of the shell may hold nothing")
			return true
		}
	}
	return false
}

// habits are words that people try before they read on, with what they mean here.
func habits(args []string) []string {
	switch {
	case len(args) == 0:
		return []string{"--help"}
	case args[0] == "help" && len(args) > 1 && args[1] == "help":
		return []string{"--help"}
	case args[0] == "help":
		return append(slices.Clone(args[1:]), "--help")
	case args[0] == "--version":
		return []string{"version"}
	}
	return args
}

// swapped tells that the module was named before the job file, where that is what happened.
func (e *env) swapped(command, job, module string) error {
	if _, err := os.Stat(job); err == nil {
		return nil
	}
	if info, err := os.Stat(module); err != nil || info.IsDir() {
		return nil
	}
	e.problem(fmt.Sprintf("%s is no job file", job), fmt.Sprintf("the job file comes first: lampwright %s %s %s", command, shown(module), job))
	return badUsage
}

// commandNames lists the commands in the order of the grammar.
func commandNames() []string {
	grammar := reflect.TypeFor[commands]()
	names := make([]string, grammar.NumField())
	for i := range names {
		names[i] = strings.ToLower(grammar.Field(i).Name)
	}
	return names
}
