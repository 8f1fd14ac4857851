package program

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Assemble makes a routine of lines as Disassemble prints them. A leading time ("120 ms") and what follows a semicolon
// are passed over, as are empty lines. The operations:
//
//	slot S to L             fade slot S (0..63, further on in loops) to level L
//	slots S x N to L        fade N slots from S on
//	over T                  the fades that follow take T ticks, 0..255; "over T wide" in the long form
//	wait T                  let T ticks pass, 1..319
//	loop N shift K, close   N passes; after each the slots are K further on
//	end, again              the end, or begin again in the same tick
//
// It fails with every faulty line, each with its number, or with the reason why no player could run the routine.
func Assemble(lines []string) (*Routine, error) {
	var c Coder
	var errs []error
	for i, line := range lines {
		words := operationWords(line)
		if len(words) == 0 {
			continue
		}
		if err := c.assemble(words); err != nil {
			errs = append(errs, fmt.Errorf("line %d: %w", i+1, err))
		}
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	return NewRoutine(c.code)
}

// operationWords strips time and remark.
func operationWords(line string) []string {
	line, _, _ = strings.Cut(line, ";")
	words := strings.Fields(line)
	if len(words) >= 2 && words[1] == "ms" {
		words = words[2:]
	}
	return words
}

// forms are the operations by their words, in which # stands for a number within its range.
var forms = []struct {
	words  string
	ranges [][2]int
	write  func(c *Coder, n []int)
}{
	{"slot # to #", [][2]int{{0, maxFadeSlot}, {0, 255}}, func(c *Coder, n []int) { c.Fade(n[0], uint8(n[1])) }},
	{"slots # x # to #", [][2]int{{0, 255}, {1, maxSpan}, {0, 255}}, func(c *Coder, n []int) { c.Span(n[0], n[1], uint8(n[2])) }},
	{"over #", [][2]int{{0, 255}}, func(c *Coder, n []int) { c.Over(n[0]) }},
	{"over # wide", [][2]int{{0, 255}}, func(c *Coder, n []int) { c.put(opOverLong, byte(n[0])) }},
	{"wait #", [][2]int{{1, maxWait}}, func(c *Coder, n []int) { c.Wait(n[0]) }},
	{"loop # shift #", [][2]int{{2, 255}, {-128, 127}}, func(c *Coder, n []int) { c.Loop(n[0], n[1]) }},
	{"close", nil, func(c *Coder, _ []int) { c.Close() }},
	{"end", nil, func(c *Coder, _ []int) { c.put(opEnd) }},
	{"again", nil, func(c *Coder, _ []int) { c.put(opAgain) }},
}

func (c *Coder) assemble(words []string) error {
	for _, f := range forms {
		numbers, ok := match(words, strings.Fields(f.words))
		if !ok {
			continue
		}
		for i, n := range numbers {
			if low, high := f.ranges[i][0], f.ranges[i][1]; n < low || n > high {
				return fmt.Errorf("%d in %q lies outside %d..%d; correct the number", n, strings.Join(words, " "), low, high)
			}
		}
		f.write(c, numbers)
		return nil
	}
	return fmt.Errorf("%q is no operation; write slot, slots, over, wait, loop, close, end or again", strings.Join(words, " "))
}

// match compares words with a form, in which # stands for a number.
func match(words, form []string) (numbers []int, ok bool) {
	if len(words) != len(form) {
		return nil, false
	}
	for i, w := range form {
		if w != "#" {
			if words[i] != w {
				return nil, false
			}
			continue
		}
		n, err := strconv.Atoi(words[i])
		if err != nil {
			return nil, false
		}
		numbers = append(numbers, n)
	}
	return numbers, true
}
