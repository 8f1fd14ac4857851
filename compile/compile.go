package compile

import (
	"hash/fnv"
	"math"

	"lampwright/feed"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
)

// compiler compiles one kit.
type compiler struct {
	kit     *kit.Kit
	sampler sampler
	codes   map[string]*coded
	wanted  wanted
	filters map[*kit.Input]feed.Filter
	list    report.List
}

// Compile gives the program of every module of a kit, and what is wrong with any, sorted. A module that is refused has no
// image; the others are complete. The same kit gives the same bytes. What is no longer wanted gives nil and an empty list.
func Compile(k *kit.Kit, opt Options) (*Result, report.List) {
	tolerance := opt.Error
	if tolerance == 0 {
		tolerance = DefaultError
	}
	c := &compiler{
		kit: k,
		sampler: sampler{
			memo:   map[sampleKey]*sampled{},
			wanted: opt.Wanted,
			fit: &fits{
				wanted:    opt.Wanted,
				tolerance: int32(math.Round(min(tolerance, topLevel) * unit)),
				memo:      map[string]*track{},
				keep:      opt.Kept,
			},
		},
		codes:  map[string]*coded{},
		wanted: opt.Wanted,
	}
	opt.Kept.begin()
	out, list := c.wanted.until(c.compile)
	opt.Kept.end(out != nil)
	return out, list
}

func (c *compiler) compile() (*Result, report.List) {
	k, out := c.kit, &Result{}
	c.order()
	c.wires(out)
	for _, m := range k.Modules {
		out.Modules = append(out.Modules, c.module(m))
	}
	for _, m := range out.Modules {
		c.join(out, m)
	}
	for _, m := range out.Modules {
		c.counts(m)
	}
	for _, m := range out.Modules {
		c.encode(m)
	}
	c.list.Sort()
	return out, c.list
}

// wires derives the filter of every input from what its wire does. A wire whose on and off look alike is refused.
func (c *compiler) wires(out *Result) {
	c.filters = map[*kit.Input]feed.Filter{}
	delays := map[*kit.Input]feed.Delay{} // of the wires themselves
	for _, in := range c.kit.Inputs {
		if in.Shares != nil {
			c.filters[in], delays[in] = feed.SharedFilter, feed.SharedDelay
			out.Wires = append(out.Wires, Wire{Of: in, Filter: feed.SharedFilter, Delay: feed.SharedDelay})
			continue
		}
		filter, delay, list := feed.FilterFor(in.Feed, in.Road)
		for _, d := range list {
			d.Place = in.FeedAt
			c.list.Add(d)
		}
		if list.HasErrors() { // refused: what follows needs counts all the same
			filter, delay, _ = feed.FilterFor(feed.Feed{Kind: feed.Steady}, in.Road)
		}
		c.filters[in], delays[in] = filter, delay
		if in.Reference != nil {
			delay.On += feed.ToldApart
		}
		out.Wires = append(out.Wires, Wire{Of: in, Filter: filter, Delay: delay})
	}
	for _, in := range c.kit.Inputs {
		if in.Reference != nil {
			c.keepsUp(in, delays)
		}
	}
}

// order refuses a kit in which a show outranks a signal. The document cannot say such a thing; a kit made otherwise might.
func (c *compiler) order() {
	var show *kit.Layer
	for _, l := range c.kit.Layers {
		if l.Show && show == nil {
			show = l
		}
		if !l.Show && show != nil {
			c.list.Add(report.Errorf("show-before-signal", l.At, "show %q stands before signal %q", show.Name, l.Name).
				Because("a show must never outrank a road signal").See(show.At, "the show").Do("put all signals before all shows"))
			return
		}
	}
}

// module compiles one module as far as it can be by itself.
func (c *compiler) module(m *kit.Module) *Module {
	before := len(c.list)
	out := &Module{Of: m, Program: &program.Program{
		Kit:         kitNumber(c.kit.Title),
		Lamp:        uint16(c.lampNumber(m.Lamp)),
		Side:        program.Side(m.Lamp.Place.Side),
		Registers:   m.Board.Registers,
		Link:        map[string]program.LinkRole{"leader": program.Leader, "follower": program.Follower}[m.Link],
		SideByStrap: m.Strap,
		TurnFed:     turnFed(m),
		Live:        m.Stream,
	}}
	c.guard(out)
	var served []*kit.Layer
	for _, l := range c.kit.Layers {
		if len(l.Of(m.Lamp)) > 0 && c.wired(m, l) {
			served = append(served, l)
		}
	}
	if len(served) == 0 && len(c.list) == before {
		c.list.Add(report.Errorf("idle-module", m.At, "module %q has nothing to do: no signal and no show takes a group of lamp %q", m.Name, m.Lamp.Name).
			Do("name groups of the lamp under takes: of a signal or show, or leave the module out"))
	}
	outages := c.outages(m)
	for i, l := range served {
		if l.Show {
			out.add(outages...)
			outages = nil
		}
		if layer, facts := c.layer(m, l, served[i+1:]); layer != nil {
			c.pacer(out.Program, layer, m, l)
			out.add(compiledLayer{layer, facts})
		}
	}
	out.add(outages...)
	out.Program.Arrange()
	out.Safe = c.safe(out)
	out.refused = c.list[before:].HasErrors()
	return out
}

// compiledLayer is a layer with what became of it.
type compiledLayer struct {
	layer *program.Layer
	facts *Layer
}

// add gives the module further layers, below those that it has.
func (m *Module) add(layers ...compiledLayer) {
	for _, one := range layers {
		m.Program.Layers = append(m.Program.Layers, *one.layer)
		m.Layers = append(m.Layers, one.facts)
		if one.layer.Still == nil {
			m.Moving++
			m.Fades += len(one.layer.Slots)
		}
	}
}

// kitNumber gives the identity of a kit: FNV-1a of its title.
func kitNumber(title string) uint32 {
	h := fnv.New32a()
	h.Write([]byte(title))
	return h.Sum32()
}

// lampNumber gives the index of a lamp in the kit.
func (c *compiler) lampNumber(l *kit.Lamp) int {
	for i, other := range c.kit.Lamps {
		if other == l {
			return i
		}
	}
	return 0
}

// pacer gives a layer at the flasher's pace a pacer of its module.
func (c *compiler) pacer(p *program.Program, layer *program.Layer, m *kit.Module, l *kit.Layer) {
	if layer.Pace < 0 {
		return
	}
	wire := m.InputPins(l.Input)
	if wire&(wire-1) != 0 {
		c.list.Add(report.Errorf("pace", l.At, "signal %q follows a flasher on several inputs of module %q at once", l.Name, m.Name).
			Because("the on-time of one wire is measured").See(l.Input.At, "its input").Do("give the input one pin of module %s", m.Name))
		return
	}
	for n := range p.PacerInput {
		if p.PacerInput[n] == 0 || p.PacerInput[n] == wire {
			p.PacerInput[n], layer.Pace = wire, n
			return
		}
	}
	c.list.Add(report.Errorf("pace", l.At, "module %q would have to follow more than %d flashers", m.Name, program.MaxPacers).
		Because("a module measures %d wires at the most", program.MaxPacers).Do("use pace: fixed for signal %s, or move its groups to another module", l.Name))
}

// encode makes the image and checks that the engine's own reader takes it. That of two hands is made with the first of them.
func (c *compiler) encode(out *Module) {
	if out.Of.SameImageAs != nil || out.refused || out.Twin != nil && out.Twin.refused {
		return
	}
	image, err := program.Encode(out.Program)
	if err == nil {
		_, err = program.Decode(image)
	}
	if err == nil {
		_, err = program.EncodeSafe(out.Safe)
	}
	if err != nil {
		c.list.Add(report.Errorf("program", out.Of.At, "the program of module %q is refused: %v", out.Of.Name, err).
			Because("a module would not run it").Do("simplify the signals and shows of lamp %s until it is taken, and report this", out.Of.Lamp.Name))
		return
	}
	out.Image = image
	if out.Twin != nil {
		out.Twin.Image = image
	}
}
