package main

import (
	"bufio"
	"fmt"
	"strconv"
	"strings"

	"lampwright/kit"
	"lampwright/report"
)

// walk collects which group lit on which output.
type walk struct {
	*env
	module   *kit.Module
	outputOf []int // for each group: output, 1-based; 0: not seen yet
}

// names gives the groups that hang on an output in the job: those that must be found again.
func (w *walk) names() []string {
	var names []string
	for g, o := range w.module.Output {
		if o >= 0 {
			names = append(names, w.module.Lamp.Groups[g].Name)
		}
	}
	return names
}

// take notes that a group lit on an output (1-based). It gives what is wrong, or "".
func (w *walk) take(output int, name string) (problem, next string) {
	g := w.module.Lamp.GroupNamed(name)
	if g < 0 || w.module.Output[g] < 0 {
		next = "the groups are " + listing(w.names())
		if near := report.Suggest(name, w.names()); near != "" {
			next = fmt.Sprintf("did you mean %s? %s", near, next)
		}
		return fmt.Sprintf("lamp %s has no group %q on this module", w.module.Lamp.Name, name), next
	}
	if before := w.outputOf[g]; before != 0 && before != output {
		return fmt.Sprintf("%s lit on output %d already", name, before), "one of the two was read wrongly: look again"
	}
	w.outputOf[g] = output
	return "", ""
}

// missing gives the groups that were not seen.
func (w *walk) missing() []string {
	var names []string
	for g, o := range w.module.Output {
		if o >= 0 && w.outputOf[g] == 0 {
			names = append(names, w.module.Lamp.Groups[g].Name)
		}
	}
	return names
}

// list reads "1=arrow.3 2=arrow.1"; every fault is told.
func (w *walk) list(text string) error {
	faulty := false
	problem := func(what, next string) {
		faulty = true
		w.problem(what, next)
	}
	seen := map[int]string{}
	for _, pair := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == '\n' || r == '\t' }) {
		number, name, ok := strings.Cut(pair, "=")
		output, err := strconv.Atoi(number)
		switch {
		case !ok || err != nil:
			problem(fmt.Sprintf("%q is not a pair", pair), "write output=group, such as 1=arrow.3")
			continue
		case output < 1 || output > w.module.Board.Outputs:
			problem(fmt.Sprintf("board %s has no output %d", w.module.Board.Name, output), fmt.Sprintf("use 1 to %d", w.module.Board.Outputs))
			continue
		case seen[output] != "":
			problem(fmt.Sprintf("output %d is given twice, for %s and %s", output, seen[output], name), "one output lights one group")
			continue
		}
		seen[output] = name
		if what, next := w.take(output, name); what != "" {
			problem(what, next)
		}
	}
	if missing := w.missing(); !faulty && len(missing) > 0 {
		problem("no output is given for "+listing(missing), "give one for each, such as 1="+missing[0])
	}
	if faulty {
		w.tell("nothing was changed")
		return badUsage
	}
	return nil
}

// ask goes through the outputs in the order of the walk, until every group is found.
func (w *walk) ask(job string) error {
	outputs := w.module.Board.Outputs
	w.tell("%s has %d outputs, and %s. Load its wiring walk (lampwright load %s %s --walk),", w.module.Name, outputs, report.Count(len(w.names()), "group"), shown(job), w.module.Name)
	w.tell("then press any of its inputs once for each question and say which group lit.")
	w.tell("Answer with the group, - for nothing, ? for the groups still to find, < to go back, q to leave.")
	answers := w.lines()
	for output := 1; output <= outputs && len(w.missing()) > 0; {
		fmt.Fprintf(w.err, "output %d of %d: ", output, outputs)
		var answer string
		select {
		case text, more := <-answers:
			if !more {
				w.tell("")
				w.problem("the answers ended before every group was found", fmt.Sprintf("run it again; still to find: %s", listing(w.missing())))
				return w.left(found)
			}
			answer = strings.TrimSpace(text)
		case <-w.ctx.Done():
			w.tell("")
			return w.left(found)
		}
		switch answer {
		case "":
		case "q":
			return w.left(ok)
		case "?":
			w.tell("still to find: %s", listing(w.missing()))
		case "<":
			if output > 1 {
				output--
				w.forget(output)
			}
			w.tell("the walk goes on only forward: press until output %d lights again", output)
		case "-":
			output++
		default:
			if what, next := w.take(output, answer); what != "" {
				w.tell("%s; %s", what, next)
				continue
			}
			output++
		}
	}
	if missing := w.missing(); len(missing) > 0 {
		w.problem("no output lit "+listing(missing), "look for a broken wire or joint there, then walk again; nothing was changed")
		return found
	}
	w.tell("every group has its output")
	return nil
}

// lines reads standard input line by line, so that waiting for the next one can be broken off.
func (e *env) lines() <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for scan := bufio.NewScanner(e.in); scan.Scan(); {
			lines <- scan.Text()
		}
	}()
	return lines
}

func (w *walk) forget(output int) {
	for g, o := range w.outputOf {
		if o == output {
			w.outputOf[g] = 0
		}
	}
}

// left tells that the walk was broken off, and gives the status to leave with.
func (w *walk) left(code status) error {
	w.tell("nothing was changed")
	return code
}
