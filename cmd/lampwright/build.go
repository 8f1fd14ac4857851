package main

import (
	"regexp"
	"slices"

	"lampwright/board"
	"lampwright/compile"
	"lampwright/flash"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
	"lampwright/rules"
	"lampwright/source"
)

// module is a module ready to ship.
type module struct {
	*compile.Module
	hex []byte // what is written into its controller
}

// build reads a job, resolves it, tries the rules and compiles every module. It gives nil when anything stops work, and
// always everything that is to be told, in the order of the file.
func (e *env) build(path string) (*built, report.List) {
	k, doc, list := kit.Load(path)
	if k == nil {
		return nil, list
	}
	return assemble(k, doc.File(), list)
}

// assemble tries the rules and compiles every module of a kit that was read from a file, with what was told so far.
func assemble(k *kit.Kit, file *source.File, list report.List) (*built, report.List) {
	list = append(list, rules.Check(k)...)
	list = append(list, fileNames(k)...)
	result, more := compile.Compile(k, compile.Options{})
	list = append(list, more...)
	out := &built{kit: k, result: result}
	if !list.HasErrors() {
		for _, m := range result.Modules {
			one, err := ship(m)
			if err != nil {
				list.Add(report.Errorf("module", m.Of.At, "module %q cannot be shipped: %v", m.Of.Name, err).
					Do("make the module's routines shorter, or share them"))
				continue
			}
			out.modules = append(out.modules, one)
		}
	}
	list = file.Finish(list)
	list.Sort()
	if list.HasErrors() {
		return nil, list
	}
	return out, list
}

// summaryName is the file that tells what a kit is.
const summaryName = "summary.txt"

// windowsKeeps matches the names that Windows keeps for devices, whatever the ending: a kit may be carried there. Source: Microsoft,
// Naming Files, Paths, and Namespaces (from memory).
var windowsKeeps = regexp.MustCompile(`^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)

// fileNames finds modules whose files would take the names of others.
func fileNames(k *kit.Kit) (list report.List) {
	taken := []string{packingList, summaryName}
	for _, m := range k.Modules {
		taken = append(taken, walkName(m.Board))
	}
	for _, m := range k.Modules {
		why := ""
		for _, name := range []string{m.Name + ".hex", m.Name + ".txt"} {
			if slices.Contains(taken, name) {
				why = "make writes another file called " + name
			}
		}
		if windowsKeeps.MatchString(m.Name) {
			why = "Windows keeps this name for itself, and its files could not be written there"
		}
		if why != "" {
			list.Add(report.Errorf("module-name", m.At, "a module cannot be called %q", m.Name).Because("%s", why).Do("give it another name here and in its inputs"))
		}
	}
	return list
}

// ship joins a compiled module with its core.
func ship(m *compile.Module) (module, error) {
	hex, err := flash.Ship(m.Of.Board.Core, m.Safe, m.Image)
	return module{m, hex}, err
}

// Filters of a wiring walk, refreshes: 5 ms on and 10 ms off, so that one press of a worn switch counts once.
const walkOn, walkOff = 10, 20

// walkHEX makes the program with which the outputs of a board light one after another, one a press of any input.
func walkHEX(b board.Board) ([]byte, error) {
	safe := &program.Safe{Registers: b.Registers}
	for i := range safe.On {
		safe.On[i], safe.Off[i] = walkOn, walkOff
	}
	image, err := program.Encode(&program.Program{Registers: b.Registers, Walk: true})
	if err != nil {
		return nil, err
	}
	return flash.Ship(b.Core, safe, image)
}

// walkName is the file name of a board's wiring walk.
func walkName(b board.Board) string { return "walk-" + b.Name + ".hex" }
