package compile

import "lampwright/report"

// wanted asks, between pieces of work of some milliseconds, whether the result is still wanted; nil: it is.
type wanted func() bool

// unwanted ends a compilation from wherever it is.
type unwanted struct{}

func (w wanted) ask() {
	if w != nil && !w() {
		panic(unwanted{})
	}
}

// until does work until it is done or unwanted.
func (w wanted) until(work func() (*Result, report.List)) (out *Result, list report.List) {
	if w != nil {
		defer func() {
			switch why := recover().(type) {
			case nil, unwanted: // as it is: nothing was made
			default:
				panic(why)
			}
		}()
	}
	return work()
}
