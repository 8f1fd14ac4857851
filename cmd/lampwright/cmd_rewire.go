package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"

	"lampwright/job"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/source"
)

type rewireCommand struct {
	Job    string  `arg:"" help:"The job file."`
	Module string  `arg:"" help:"The module whose lamp was soldered."`
	List   *string `help:"What lit on each output, instead of questions: \"1=arrow.3 2=arrow.1\"." placeholder:"PAIRS"`
	DryRun bool    `help:"Show what would change and write nothing."`
	JSON   bool    `name:"json" help:"Print the change as one JSON object."`
}

func (rewireCommand) Help() string {
	return `Load the wiring walk into the module (lampwright load JOB MODULE --walk), press any of its inputs, and say after each press
which group lit. The answers become the module's wiring map; nothing else in the job changes, for light is written in space and
does not know outputs. Before the job file is written, its old text is kept beside it as FILE.before-1, -2 and so on.

Examples:

  lampwright rewire my-tail.yaml rear-lh
  lampwright rewire my-tail.yaml rear-lh --list "1=turn.2 2=turn.1 3=turn.3 4=turn.4 5=turn.5 6=turn.6 7=stop.1 8=stop.2 9=stop.3 10=stop.4 11=tail.1 12=tail.2 13=tail.3 14=tail.4"`
}

// rewired is the result as JSON tells it.
type rewired struct {
	Module  string        `json:"module"`
	Changes []wiredChange `json:"changes"`
	Before  string        `json:"before,omitempty"` // file that keeps the old text
	Written bool          `json:"written"`
}

type wiredChange struct {
	Key    string `json:"key"` // of the wiring map
	Before string `json:"before"`
	After  string `json:"after"`
}

func (c rewireCommand) Run(e *env) error {
	if err := e.swapped("rewire", c.Job, c.Module); err != nil {
		return err
	}
	k, doc, list := kit.Load(c.Job)
	if k == nil && c.JSON {
		return errors.Join(report.WriteJSON(e.out, list), found)
	}
	if err := e.diagnostics(e.err, list); err != nil {
		return err
	}
	if k == nil {
		e.tell("next: mend this first; lampwright check %s", shown(c.Job))
		return found
	}
	m, known := k.Module(c.Module)
	if !known {
		var names []string
		for _, m := range k.Modules {
			names = append(names, m.Name)
		}
		e.noSuch("module", c.Module, names)
		return badUsage
	}
	w := &walk{env: e, module: m, outputOf: make([]int, len(m.Lamp.Groups))}
	var err error
	if c.List != nil {
		err = w.list(*c.List)
	} else {
		err = w.ask(c.Job)
	}
	if err != nil {
		return err
	}
	return c.edit(e, doc, k, m, w.outputOf)
}

// edit writes the outputs into the module's wiring map, changing only the keys whose outputs differ.
func (c rewireCommand) edit(e *env, doc *job.Document, k *kit.Kit, m *kit.Module, outputOf []int) error {
	written, known := doc.Modules.Get(m.Name)
	if !known {
		e.problem(fmt.Sprintf("module %q is not written in %s", m.Name, c.Job), "")
		return found
	}
	result := rewired{Module: m.Name, Changes: []wiredChange{}}
	var edits []source.Edit
	for _, entry := range written.Wiring.Entries() {
		key := entry.Name.Text
		if slices.Equal(entry.Value.Numbers(), []int{0}) {
			continue // none at all
		}
		var numbers []int
		for _, old := range entry.Value.Numbers() {
			if old == 0 { // none
				numbers = append(numbers, 0)
				continue
			}
			g := groupOn(m, old-1)
			if g < 0 {
				e.problem(fmt.Sprintf("no group hangs on output %d of %s", old, key), "check the job first")
				return found
			}
			numbers = append(numbers, outputOf[g])
		}
		if after := job.OutputsOf(numbers).String(); after != job.OutputsOf(entry.Value.Numbers()).String() {
			result.Changes = append(result.Changes, wiredChange{key, entry.Value.String(), after})
			edits = append(edits, source.Set(source.Path{"modules", m.Name, "wiring", key}, job.OutputsValue(numbers)))
		}
	}
	if len(edits) == 0 {
		if c.JSON {
			return e.json(result)
		}
		e.say("%s is wired as the job says: nothing to change", m.Name)
		return nil
	}
	next, faults := doc.File().Apply(edits...)
	if next == nil {
		if err := e.diagnostics(e.err, faults); err != nil {
			return err
		}
		return found
	}
	if err := sameBut(next, k, m, outputOf); err != nil {
		e.problem(err.Error(), "change the wiring map by hand: "+changeList(result.Changes))
		return found
	}
	return c.save(e, next, result)
}

// save keeps the old text beside the job file and writes the new one.
func (c rewireCommand) save(e *env, next *source.File, result rewired) error {
	before, err := readFile(e, c.Job)
	if err != nil {
		return err
	}
	if !c.DryRun {
		if result.Before, err = keep(c.Job, before); err != nil {
			return e.fileProblem("keep the old text beside", c.Job, err)
		}
		if err := next.Save(c.Job); err != nil {
			return e.faults(err)
		}
		result.Written = true
	}
	if c.JSON {
		return e.json(result)
	}
	for _, change := range result.Changes {
		e.say("%s, %s: %s becomes %s", result.Module, change.Key, change.Before, change.After)
	}
	e.say("%s", strings.TrimRight(lineChanges(c.Job, before, next.Text()), "\n"))
	if c.DryRun {
		e.tell("nothing was written; leave --dry-run out to write it")
		return nil
	}
	e.tell("the old text is %s", result.Before)
	e.tell("next: lampwright load %s %s", shown(c.Job), result.Module)
	return nil
}

// keep writes the old text beside a file under the first free name.
func keep(path string, text []byte) (string, error) {
	for n := 1; ; n++ {
		name := fmt.Sprintf("%s.before-%d", path, n)
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return "", err
		}
		_, err = f.Write(text)
		return name, errors.Join(err, f.Sync(), f.Close())
	}
}

// sameBut holds the edited text to what is meant: the module's outputs as given, every other module as before.
func sameBut(f *source.File, before *kit.Kit, m *kit.Module, outputOf []int) error {
	after, _ := kit.Parse(f.Name, f.Text(), kit.Beside(f.Name))
	if after == nil || len(after.Modules) != len(before.Modules) {
		return errors.New("with this wiring the job would no longer check clean")
	}
	for i, old := range before.Modules {
		for g, o := range after.Modules[i].Output {
			want := old.Output[g]
			if old == m {
				want = outputOf[g] - 1
			}
			if o != want {
				return fmt.Errorf("the change would put group %s of %s on output %d instead of %d", old.Lamp.Groups[g].Name, old.Name, o+1, want+1)
			}
		}
	}
	return nil
}

// lineChanges shows the lines that differ, with their numbers. An edit of a wiring map adds and removes no lines but those it
// needs, so lines are compared from both ends.
func lineChanges(file string, before, after []byte) string {
	old, fresh := bytes.Split(before, []byte("\n")), bytes.Split(after, []byte("\n"))
	head := 0
	for head < len(old) && head < len(fresh) && bytes.Equal(old[head], fresh[head]) {
		head++
	}
	tail := 0
	for tail < len(old)-head && tail < len(fresh)-head && bytes.Equal(old[len(old)-1-tail], fresh[len(fresh)-1-tail]) {
		tail++
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s:%d\n", file, head+1)
	for _, line := range old[head : len(old)-tail] {
		fmt.Fprintf(&b, "- %s\n", line)
	}
	for _, line := range fresh[head : len(fresh)-tail] {
		fmt.Fprintf(&b, "+ %s\n", line)
	}
	return b.String()
}

func changeList(changes []wiredChange) string {
	var parts []string
	for _, c := range changes {
		parts = append(parts, c.Key+": "+c.After)
	}
	return strings.Join(parts, ", ")
}

// groupOn gives the group on an output (0-based) of a module, or -1.
func groupOn(m *kit.Module, output int) int {
	for g, o := range m.Output {
		if o == output {
			return g
		}
	}
	return -1
}
