package job

// output gives a run of outputs in the document's form.
func (r Run) output() string {
	if r.First == 0 {
		return noOutput
	}
	return r.String()
}

// OutputsOf gives outputs as runs: each run as long as it can be, up or down. 0 is none, a run of its own.
func OutputsOf(numbers []int) (o Outputs) {
	for i := 0; i < len(numbers); {
		end := i
		for _, step := range []int{1, -1} {
			j := i
			for numbers[i] > 0 && j+1 < len(numbers) && numbers[j+1] > 0 && numbers[j+1] == numbers[j]+step {
				j++
			}
			end = max(end, j)
		}
		o.Runs = append(o.Runs, Run{First: numbers[i], Last: numbers[end]})
		i = end + 1
	}
	return o
}

// OutputsValue gives outputs as an edit writes them: a number, one run, or a list of these.
func OutputsValue(numbers []int) any {
	var values []any
	for _, run := range OutputsOf(numbers).Runs {
		if run.First == run.Last && run.First > 0 {
			values = append(values, run.First)
		} else {
			values = append(values, run.output())
		}
	}
	if len(values) == 1 {
		return values[0]
	}
	return values
}
