package web

import (
	"math"
	"net/http"
	"strconv"

	"lampwright/board"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
	"lampwright/script"
	"lampwright/units"
)

// wirePicture is what a factory wire does around one asking, and what the module makes of it. Times are ms from its start.
type wirePicture struct {
	Input   string `json:"input"`
	Wire    string `json:"wire"` // the input on whose wire it comes, mostly itself
	Road    string `json:"road"`
	Says    string `json:"says"`
	Written string `json:"written"` // the feed as a job has it
	Board   string `json:"board"`   // whose input it meets

	Supply   float64 `json:"supply"`   // V
	LowUpTo  float64 `json:"lowUpTo"`  // V: up to here the input reads low at every tolerance
	HighFrom float64 `json:"highFrom"` // V: from here on it reads high at every tolerance
	OffVolts float64 `json:"offVolts"` // V: where the wire stands while nothing drives it

	UntilMS   float64      `json:"untilMs"`
	Asked     [2]float64   `json:"asked"`    // the function is switched on, and off
	Volts     [][2]float64 `json:"volts"`    // ms and V: from then on
	SampleMS  float64      `json:"sampleMs"` // from one look of the module to the next; the first is at 0
	Decisions []decision   `json:"decisions"`
	delays
	Problems report.List `json:"problems"` // of the wire, and why there is no decision
}

// decision is when the module takes an input for on.
type decision struct {
	Input string       `json:"input"`
	Spans [][2]float64 `json:"spans"`
}

// delays are the filter of an input and how much later it makes the module answer.
type delays struct {
	Filter    string   `json:"filter"` // "": the wire cannot be read
	OnMS      *float64 `json:"onMs"`   // in this picture; nil: it never counts as on
	OffMS     *float64 `json:"offMs"`
	MostOnMS  float64  `json:"mostOnMs"` // at the worst phase and clock, bounce included
	MostOffMS float64  `json:"mostOffMs"`
}

// How long the picture of a wire is, ms. The lead shows a test pulse where they come that often.
const (
	leadLeast, leadMost = 150.0, 1500.0
	askedFor            = 200.0 // a flasher is on for one flash at 90 a minute, 50 % (common practice, no source)
	flashFor            = 333.0
	tailFor             = 250.0
)

// getFeed draws the wire of an input at a supply.
func (s *Server) getFeed(w http.ResponseWriter, r *http.Request) {
	k := s.desk.Load().State().Seen
	in, known := (*kit.Input)(nil), false
	if k != nil {
		in, known = k.Input(r.URL.Query().Get("input"))
	}
	if !known {
		refuse(w, r, one("choose another", "there is no input %q", r.URL.Query().Get("input")))
		return
	}
	supply := float64(usualSupply)
	if text := r.URL.Query().Get("supply"); text != "" {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || !(v >= 0 && v <= float64(script.MaxVolts)) {
			refuse(w, r, one("choose 0 V to "+script.MaxVolts.String(), "%q is no supply of a car", text))
			return
		}
		supply = v
	}
	p, faults := drawWire(k, in, units.Voltage(supply))
	if faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	answer(w, r, http.StatusOK, p)
}

// drawWire draws one asking on the wire of an input.
func drawWire(k *kit.Kit, in *kit.Input, supply units.Voltage) (*wirePicture, report.List) {
	carrier := in
	if in.Shares != nil {
		carrier = in.Shares
	}
	b, meets := boardOf(carrier)
	if !meets {
		return nil, one("give it a pin of a module first", "the wire of %q goes to no module", in.Name)
	}
	p := &wirePicture{
		Input: in.Name, Wire: carrier.Name, Road: in.Road, Says: carrier.Feed.String(), Written: carrier.Feed.Written(), Board: b.Name,
		Supply: float64(supply), SampleMS: float64(refresh) / float64(units.Millisecond), Decisions: []decision{}, Volts: [][2]float64{},
	}
	levels, _, list := feed.Electrical(carrier.Feed, b.Input)
	p.Problems = append(report.List{}, list...)
	p.LowUpTo, p.HighFrom = float64(levels.LowUpTo), float64(levels.HighFrom)
	if carrier.Feed.Check().HasErrors() {
		return p, nil // what it does cannot be drawn; the problems say why
	}
	p.OffVolts = float64(carrier.Feed.OffVolts(b.Input))
	until := p.ask(in, carrier)
	p.follow(k, in, carrier, supply, until)
	p.decide(in, carrier)
	return p, nil
}

const refresh = units.Second / program.RefreshHz

// boardOf gives the board that a wire meets first.
func boardOf(in *kit.Input) (board.Board, bool) {
	if len(in.Pins) == 0 || in.Pins[0].Module == nil || in.Pins[0].Module.Board.Name == "" {
		return board.Board{}, false
	}
	return in.Pins[0].Module.Board, true
}

// ask chooses when the function is asked for, and how long the picture is.
func (p *wirePicture) ask(in, carrier *kit.Input) (until units.Time) {
	lead, long := leadLeast, askedFor
	if every := carrier.Feed.TestPulse.Every.Milliseconds(); every > 0 {
		lead = min(max(lead, 1.25*every), leadMost)
	}
	if in.Feed.Kind == feed.Flasher {
		long = flashFor
	}
	p.Asked = [2]float64{lead, lead + long}
	p.UntilMS = lead + long + tailFor
	return units.Milliseconds(p.UntilMS)
}

// follow draws the volts. A function that shares the wire of another is asked for while that one is on.
func (p *wirePicture) follow(k *kit.Kit, in, carrier *kit.Input, supply units.Voltage, until units.Time) {
	line := script.Script{Presses: []script.Press{{Input: in.Name, From: units.Milliseconds(p.Asked[0]), To: units.Milliseconds(p.Asked[1])}}}
	if carrier != in {
		line.Presses = append(line.Presses, script.Press{Input: carrier.Name, From: units.Milliseconds(p.Asked[0] / 3), To: units.Milliseconds(p.UntilMS - tailFor/3)})
	}
	on, off := float64(supply), p.OffVolts
	if in.ActiveLow {
		on, off = 0, float64(supply)
	}
	p.Volts = append(p.Volts, [2]float64{0, off})
	for _, e := range k.Wire(line.Timeline(0), until, feed.Conditions{Supply: supply}) {
		if e.Input != carrier.Name {
			continue
		}
		v := off
		if e.On {
			v = on
		}
		if n := len(p.Volts); p.Volts[n-1][0] == e.At.Milliseconds() {
			p.Volts = p.Volts[:n-1]
		}
		p.Volts = append(p.Volts, [2]float64{e.At.Milliseconds(), v})
	}
}

// The input numbers at which the module of the picture reads its wire, and what it tells apart from it.
const (
	wireIn, besideIn, apartIn = 0, 1, 2
)

// decide lets the reference engine read the wire, by the filter that the job's modules have.
func (p *wirePicture) decide(in, carrier *kit.Input) {
	filter, delay, list := feed.FilterFor(carrier.Feed, carrier.Road)
	p.Problems = append(p.Problems, list...)
	if list.HasErrors() {
		return
	}
	safe := program.Safe{Registers: 1}
	for i := range safe.On {
		safe.On[i], safe.Off[i] = 1, 1
	}
	safe.On[wireIn], safe.Off[wireIn], safe.Gap[wireIn] = filter.On, filter.Off, filter.Gap
	if carrier.ActiveLow {
		safe.Invert = 1 << wireIn
	}
	read := []struct {
		name string
		bit  uint8
	}{{carrier.Name, 1 << wireIn}}
	switch {
	case carrier != in:
		safe.Shared = program.Shared{Used: true, From: wireIn, As: besideIn}
		safe.On[besideIn], safe.Off[besideIn] = feed.SharedFilter.On, feed.SharedFilter.Off
		filter, delay = feed.SharedFilter, feed.SharedDelay
		read = append(read, struct {
			name string
			bit  uint8
		}{in.Name, 1 << besideIn})
	case in.Reference != nil:
		safe.StopTurn[0] = program.StopTurn{Used: true, Wire: wireIn, Reference: besideIn, Turn: apartIn}
		delay.On += toldApart
		read[0].bit = 1 << apartIn
	}
	block, err := program.EncodeSafe(&safe)
	if err != nil { // filters of FilterFor are always fit
		return
	}
	p.Filter, p.MostOnMS, p.MostOffMS = filter.String(), delay.On.Milliseconds(), delay.Off.Milliseconds()
	e := program.NewEngine(program.Powering{SafeA: block[:], SafeB: block[:]})
	for range settle {
		e.Step(p.sample(p.Volts[0][1]), true)
	}
	spans := make([][][2]float64, len(read))
	next, v := 0, 0.0
	for at := 0.0; at < p.UntilMS; at += p.SampleMS {
		for next < len(p.Volts) && p.Volts[next][0] <= at {
			v = p.Volts[next][1]
			next++
		}
		e.Step(p.sample(v), true)
		for i, r := range read {
			state := e.Inputs()
			if r.bit == 1<<apartIn {
				state = e.Asked()
			}
			was := len(spans[i]) > 0 && math.IsInf(spans[i][len(spans[i])-1][1], 1)
			switch is := state&r.bit != 0; {
			case is && !was:
				spans[i] = append(spans[i], [2]float64{at, math.Inf(1)})
			case was && !is:
				spans[i][len(spans[i])-1][1] = at
			}
		}
	}
	for i, r := range read {
		d := decision{r.name, [][2]float64{}}
		for _, s := range spans[i] {
			d.Spans = append(d.Spans, [2]float64{s[0], min(s[1], p.UntilMS)})
		}
		p.Decisions = append(p.Decisions, d)
	}
	p.measure(p.Decisions[len(p.Decisions)-1].Spans)
}

// toldApart is how much later a turn counts whose wire lights for the stop as well: six frames (docs/engine.md, section 3.2).
const toldApart = 6 * program.FrameMS * units.Millisecond

// settle is how many refreshes the module has looked at the wire before the picture begins.
const settle = 400

// sample gives what the pin reads at a voltage; between the thresholds it may be either, and is taken as low.
func (p *wirePicture) sample(v float64) uint8 {
	if v >= p.HighFrom {
		return 1 << wireIn
	}
	return 0
}

// measure finds how much later than the asking the decision comes.
func (p *wirePicture) measure(spans [][2]float64) {
	for _, s := range spans {
		if s[1] <= p.Asked[0] || s[0] >= p.UntilMS {
			continue
		}
		if on := s[0] - p.Asked[0]; p.OnMS == nil && on >= 0 {
			p.OnMS = &on
		}
		if off := s[1] - p.Asked[1]; p.OnMS != nil && off >= 0 && s[1] < p.UntilMS && p.OffMS == nil {
			p.OffMS = &off
		}
	}
}
