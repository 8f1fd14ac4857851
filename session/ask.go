package session

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"lampwright/kit"
	"lampwright/lamp"
	"lampwright/report"
	"lampwright/source"
)

var _ = enter(Command{
	Name: "ask", Says: "let something be asked for: its wire at the modules that need it, and a plain signal on it, or a show",
	Args: map[string]string{"input": "tail, stop, turn-lh, turn-rh, reverse, drl or fog; any other name is a switch for a show"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct{ Input string }
		if faults := arguments("ask", raw, &a); faults != nil {
			return "", nil, faults
		}
		if problem := source.NameProblem(a.Input); problem != "" {
			return "", nil, refuse("use "+source.NameExpected, "%q cannot be a name: %s", a.Input, problem)
		}
		if s.Kit == nil {
			return "", nil, refuse("mend what stops work first", "of a broken job the lamps and wires are not all known")
		}
		edits, also, faults := askedFor(s, a.Input)
		if faults != nil {
			return "", nil, faults
		}
		return "ask for " + a.Input + also, edits, nil
	},
})

// askedFor gives the edits that let an input be asked for. Of a turn at modules that share an image the other side's comes with it, as also
// says: the one image answers both. What would stop work is refused.
func askedFor(s *State, input string) (edits []source.Edit, also string, faults report.List) {
	q := asking{s: s, tree: s.File.Tree(), input: input, road: slices.Contains(kit.Roads, input)}
	if faults := q.plan(); faults != nil {
		return nil, "", faults
	}
	edits = q.edits
	tried, faults := outcomeOf(s, edits)
	if faults == nil && len(tried.wrong) > 0 && tried.state != nil && q.shared() {
		other := asking{s: tried.state, tree: tried.file.Tree(), input: opposite(input), road: true}
		if other.plan() == nil {
			edits, also = append(edits, other.edits...), " and "+other.input
			tried, faults = outcomeOf(s, edits)
		}
	}
	if faults != nil {
		return nil, "", faults
	}
	if len(tried.wrong) > 0 {
		why := tried.wrong[0]
		return nil, "", refuse(cmp.Or(why.Next, "add it by hand"), "a plain answer to %q does not fit this job: %s", input, why.Text)
	}
	return edits, also, nil
}

// opposite gives the turn of the other side, or "" of what has no side.
func opposite(input string) string {
	return map[string]string{"turn-lh": "turn-rh", "turn-rh": "turn-lh"}[input]
}

// asking collects the edits that let an input be asked for.
type asking struct {
	s       *State
	tree    any
	input   string
	road    bool
	modules []*kit.Module // that read it
	edits   []source.Edit
}

// function gives the road function that the input asks a lamp for: turn-lh asks for turn.
func (q *asking) function() string {
	return strings.TrimSuffix(strings.TrimSuffix(q.input, "-lh"), "-rh")
}

// plan collects the edits.
func (q *asking) plan() report.List {
	for _, section := range []string{"signals", "shows"} {
		for _, item := range list(q.section(section)) {
			if name, input := layerOf(item); input == q.input {
				return refuse("change that one, or add another by hand", "%q answers %q already", name, input)
			}
		}
	}
	if faults := q.wire(); faults != nil {
		return faults
	}
	if q.road {
		q.signal()
	} else {
		q.show()
	}
	return nil
}

// shared tells whether one of the modules shares its image with that of the other side, for a turn.
func (q *asking) shared() bool {
	return opposite(q.input) != "" && slices.ContainsFunc(q.modules, func(m *kit.Module) bool { return q.s.Seen.OtherHand(m) != nil })
}

// wire leads the input to a free pin of every module that needs it; an input that is there stays as it is.
func (q *asking) wire() report.List {
	taken := map[kit.Pin]bool{}
	across := map[*kit.Module]int{} // where the turn of the other side comes
	for _, in := range q.s.Seen.Inputs {
		for _, p := range in.Pins {
			taken[kit.Pin{Module: p.Module, In: p.In}] = true
			if in.Name == q.input && !slices.Contains(q.modules, p.Module) {
				q.modules = append(q.modules, p.Module)
			}
			if in.Name == opposite(q.input) {
				across[p.Module] = p.In
			}
		}
	}
	if q.modules != nil {
		return nil
	}
	if _, there := at(q.tree, source.Path{"inputs", q.input}); there {
		return refuse("give it a wire first", "the input %q leads to no module", q.input)
	}
	q.modules = q.needing()
	if len(q.modules) == 0 {
		return refuse("give a lamp there a module first", "no module drives a lamp that could answer %q", q.input)
	}
	var pins []any
	for _, m := range q.modules {
		other := q.s.Seen.OtherHand(m)
		n, mirrored := across[other]
		if !mirrored || taken[kit.Pin{Module: m, In: n}] {
			for n = 0; taken[kit.Pin{Module: m, In: n}] || other != nil && taken[kit.Pin{Module: other, In: n}]; {
				n++
			}
		}
		if n >= len(m.Board.Inputs) {
			return refuse("take out an input that is not needed, or choose a board with more", "all %d inputs of %s are taken", len(m.Board.Inputs), m.Name)
		}
		pins = append(pins, m.Name+"."+m.Board.Inputs[n].Name)
	}
	q.put("inputs", q.input, source.Fields{{Key: "wire", Value: oneOrList(pins)}})
	return nil
}

// needing gives the modules of the lamps that say they perform the function, and where none says so those that sit where such lamps
// do; every module where it is for a show. A module that lives on another wire alone could answer no road signal.
func (q *asking) needing() []*kit.Module {
	var fit, say []*kit.Module
	for _, m := range q.s.Seen.Modules {
		if !q.sits(m.Lamp.Place) || q.road && m.Fed.Only != nil {
			continue
		}
		fit = append(fit, m)
		if slices.ContainsFunc(m.Lamp.Functions, func(f kit.Function) bool { return f.Name == q.function() }) {
			say = append(say, m)
		}
	}
	if q.road && len(say) > 0 {
		return say
	}
	return fit
}

// sits tells whether a lamp there may answer the input: a turn on its side, stop, reverse and fog behind, the running light in front.
func (q *asking) sits(at lamp.Place) bool {
	switch q.input {
	case "turn-lh":
		return at.Side == lamp.LH
	case "turn-rh":
		return at.Side == lamp.RH
	case "stop", "reverse", "fog":
		return at.End == lamp.Rear
	case "drl":
		return at.End == lamp.Front
	}
	return true
}

// rank orders road signals: the one that must be seen first comes first.
var rank = []string{"turn-lh", "turn-rh", "stop", "reverse", "fog", "drl", "tail"}

// signal adds a signal that lights at once and steadily, and for a turn a sweep with the flasher.
func (q *asking) signal() {
	var takes []any
	for _, m := range q.modules {
		takes = append(takes, q.takes(m.Lamp)...)
	}
	body := source.Fields{{Key: "input", Value: q.input}, {Key: "takes", Value: oneOrList(takes)}}
	hold := func(light string) source.Fields {
		return strokes(nil, "hold", source.Fields{{Key: "light", Value: light}})
	}
	switch {
	case q.function() == "turn":
		sweep := source.Fields{{Key: "direction", Value: "outboard"}, {Key: "for", Value: "150 ms"}, {Key: "by", Value: "group"}}
		body = append(body, source.Field{Key: "arrive", Value: q.routine("turn-out", strokes(source.Fields{{Key: "length", Value: "150 ms"}}, "sweep", sweep))},
			source.Field{Key: "pace", Value: "flasher"})
	case q.input == "tail":
		body = append(body, source.Field{Key: "stay", Value: q.routine("dim", hold("15 %"))})
	default:
		body = append(body, source.Field{Key: "stay", Value: q.routine("full", hold("100 %"))})
	}
	before := len(list(q.section("signals")))
	for i, item := range list(q.section("signals")) {
		if _, input := layerOf(item); slices.Index(rank, input) > slices.Index(rank, q.input) {
			before = i
			break
		}
	}
	q.add("signals", q.free(q.input), body, before)
}

// show adds a show at the end of the list, which plays a routine across all lamps.
func (q *asking) show() {
	head := source.Fields{{Key: "length", Value: "4 s"}}
	var across, takes []any
	for _, l := range q.s.Seen.Lamps {
		if slices.ContainsFunc(q.modules, func(m *kit.Module) bool { return m.Lamp == l }) {
			across = append(across, l.Name)
			takes = q.whole(l)
		}
	}
	body := source.Fields{{Key: "input", Value: q.input}}
	switch {
	case len(across) > 1:
		head = append(head, source.Field{Key: "across", Value: across})
	case len(q.s.Seen.Lamps) > 1: // without a wire the others cannot be taken
		body = append(body, source.Field{Key: "takes", Value: oneOrList(takes)})
	}
	swing := source.Fields{{Key: "direction", Value: "right"}, {Key: "band", Value: "200 mm"}, {Key: "edge", Value: "80 mm"}, {Key: "for", Value: "4 s"}, {Key: "easing", Value: "gentle"}}
	routine := q.routine("drift", strokes(head, "swing", swing))
	body = append(body, source.Field{Key: "stay", Value: routine}, source.Field{Key: "limit", Value: "10 min"})
	q.add("shows", q.free(routine), body, len(list(q.section("shows"))))
}

// strokes gives a routine of one stroke.
func strokes(head source.Fields, kind string, body source.Fields) source.Fields {
	return append(head, source.Field{Key: "strokes", Value: []any{source.Fields{{Key: kind, Value: body}}}})
}

// takes gives the regions of a lamp that answer: those that it says, else all of it.
func (q *asking) takes(l *kit.Lamp) []any {
	for _, f := range l.Functions {
		if f.Name == q.function() && len(f.Groups) < len(l.Groups) {
			return ofLamp(l, f.Groups)
		}
	}
	return q.whole(l)
}

// whole gives the regions of all of a lamp: its name, unless something on a lamp is called so.
func (q *asking) whole(l *kit.Lamp) []any {
	if slices.ContainsFunc(q.s.Seen.Lamps, func(other *kit.Lamp) bool { _, is := other.Zone(l.Name); return is }) {
		all := make([]int, len(l.Groups))
		for g := range all {
			all[g] = g
		}
		return ofLamp(l, all)
	}
	return []any{l.Name}
}

// ofLamp gives the regions of groups with the name of their lamp.
func ofLamp(l *kit.Lamp, groups []int) []any {
	regions := regionsOf(l, groups)
	for i, r := range regions {
		regions[i] = fmt.Sprintf("%s.%v", l.Name, r)
	}
	return regions
}
