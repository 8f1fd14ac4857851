package web

import (
	"io"
	"net/http"

	"lampwright/feed"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/source"
)

// scopeView is what a scope record of a wire shows, and the feed that it looks like.
type scopeView struct {
	Summary string `json:"summary"`
	Written string `json:"written"` // the feed as a job has it
	Feed    any    `json:"feed"`    // the same as a value, for the command feed

	LowUpTo  float64      `json:"lowUpTo"`
	HighFrom float64      `json:"highFrom"`
	UntilMS  float64      `json:"untilMs"`
	Trace    [][3]float64 `json:"trace"` // ms, and the least and most V from there to the next
	delays
	Problems report.List `json:"problems"` // what the record cannot tell, and what the module would make of the wire
}

// traceColumns is how finely a record is drawn.
const traceColumns = 1500

// postScope reads a scope record of an input's wire. The job is not changed: the command feed takes the feed over.
func (s *Server) postScope(w http.ResponseWriter, r *http.Request) {
	k := s.desk.Load().State().Seen
	in, known := (*kit.Input)(nil), false
	if k != nil {
		in, known = k.Input(r.URL.Query().Get("input"))
	}
	if !known {
		refuse(w, r, one("choose another", "there is no input %q", r.URL.Query().Get("input")))
		return
	}
	b, meets := boardOf(in)
	if in.Shares != nil || !meets {
		refuse(w, r, one("choose the input whose wire it is", "%q has no wire of its own", in.Name))
		return
	}
	text, err := io.ReadAll(io.LimitReader(r.Body, feed.MaxScopeBytes+1))
	if err != nil {
		refuse(w, r, one("send it again", "the record did not come whole"))
		return
	}
	record, list := feed.ReadScope("record", text)
	if list.HasErrors() {
		refuse(w, r, list)
		return
	}
	levels, _, _ := feed.Electrical(feed.Feed{Kind: feed.Steady}, b.Input)
	sum := record.Sum(levels)
	out := scopeView{
		Summary: sum.String(), Written: sum.Feed.Written(), LowUpTo: float64(levels.LowUpTo), HighFrom: float64(levels.HighFrom),
		UntilMS: record.At[len(record.At)-1] * 1000, Trace: thin(record, traceColumns), Problems: append(append(report.List{}, list...), sum.Doubts...),
	}
	if file, faults := source.Parse("feed", []byte("feed: "+out.Written+"\n")); !faults.HasErrors() {
		if fields, is := file.Tree().(source.Fields); is && len(fields) == 1 {
			out.Feed = fields[0].Value
		}
	}
	_, _, wire := feed.Electrical(sum.Feed, b.Input)
	filter, delay, said := feed.FilterFor(sum.Feed, in.Road)
	out.Problems = append(append(out.Problems, wire...), said...)
	if !said.HasErrors() {
		out.Filter, out.MostOnMS, out.MostOffMS = filter.String(), delay.On.Milliseconds(), delay.Off.Milliseconds()
	}
	answer(w, r, http.StatusOK, out)
}

// thin gives the least and most of a record in each of so many columns, so that no pulse is lost.
func thin(record feed.Record, columns int) [][3]float64 {
	out := [][3]float64{}
	end, column := record.At[len(record.At)-1], -1
	for i, at := range record.At {
		v := record.Volts[i]
		if c := min(int(at/end*float64(columns)), columns-1); c != column {
			column = c
			out = append(out, [3]float64{at * 1000, v, v})
			continue
		}
		last := &out[len(out)-1]
		last[1], last[2] = min(last[1], v), max(last[2], v)
	}
	return out
}
