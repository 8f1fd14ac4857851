module lampwright

go 1.26.0

require (
	github.com/goccy/go-yaml v1.19.2 // indirect
	golang.org/x/text v0.44.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
