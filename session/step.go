package session

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
)

// MostSteps is how many steps are kept; the oldest go first.
const MostSteps = 1000

// step is one change of the text: at byte At, Old gave way to New. Before and After are the revisions around it.
type step struct {
	Label  string `json:"label"`
	At     int    `json:"at"`
	Old    string `json:"old"`
	New    string `json:"new"`
	Before string `json:"before"`
	After  string `json:"after"`
}

// revisionOf names a text by what it says: the first sixteen hexadecimal digits of its SHA-256.
func revisionOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:8])
}

// stepBetween gives the shortest single replacement that leads from one text to another.
func stepBetween(label, before, after string) step {
	at := 0
	for at < len(before) && at < len(after) && before[at] == after[at] {
		at++
	}
	oldEnd, newEnd := len(before), len(after)
	for oldEnd > at && newEnd > at && before[oldEnd-1] == after[newEnd-1] {
		oldEnd--
		newEnd--
	}
	return step{label, at, before[at:oldEnd], after[at:newEnd], revisionOf(before), revisionOf(after)}
}

// replace puts to in the place of from; false when from does not stand there.
func replace(text string, at int, from, to string) (string, bool) {
	if at < 0 || at > len(text) || !strings.HasPrefix(text[at:], from) {
		return "", false
	}
	return text[:at] + to + text[at+len(from):], true
}

// back takes the step back from a text, and forth makes it again.
func (s step) back(text string) (string, bool)  { return replace(text, s.At, s.New, s.Old) }
func (s step) forth(text string) (string, bool) { return replace(text, s.At, s.Old, s.New) }

// history is the steps made, and how many of them stand; those behind can be made again.
type history struct {
	steps []step
	made  int
}

// add puts a step behind those that stand; what could have been made again goes.
func (h *history) add(s step) {
	h.steps = append(h.steps[:h.made:h.made], s)
	if len(h.steps) > MostSteps {
		h.steps = h.steps[len(h.steps)-MostSteps:]
	}
	h.made = len(h.steps)
}

// last is the step that undo would take back, and next the one that redo would make; nil when there is none.
func (h *history) last() *step {
	if h.made == 0 {
		return nil
	}
	return &h.steps[h.made-1]
}

func (h *history) next() *step {
	if h.made == len(h.steps) {
		return nil
	}
	return &h.steps[h.made]
}

// find sets the history to the place where its text has the revision, the latest such; false when there is none.
func (h *history) find(revision string) bool {
	for made := len(h.steps); made > 0; made-- {
		if h.steps[made-1].After == revision {
			h.made = made
			return true
		}
	}
	if len(h.steps) > 0 && h.steps[0].Before == revision {
		h.made = 0
		return true
	}
	return false
}
