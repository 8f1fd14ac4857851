package uitest

// asked is a command with its arguments, as JSON.
type asked struct{ name, args string }

// largeCommands are all commands of a window, each as one does it on the large job; before says what must have been done for it.
var largeCommands = []struct {
	asked
	before []asked
}{
	{asked: asked{"add", `{"path":["routines","wave-3","strokes"],"value":{"pass":{"on":"field","direction":"left","band":"200 mm","for":"1 s"}}}`}},
	{asked: asked{"ask", `{"input":"fog"}`}},
	{asked: asked{"copy", `{"from":["routines","wave-3"],"into":["routines"],"key":"wave-x"}`}},
	{asked: asked{"drive", `{"lamp":"lamp-x","module":"module-x","board":"chain-8"}`}, before: []asked{{"lamp", `{"name":"lamp-x","end":"rear","side":"LH"}`}}},
	{asked: asked{"drop", `{"lamp":"lamp-7"}`}},
	{asked: asked{"edits", `{"label":"light","edits":[{"op":"set","path":["routines","wave-3","strokes","0","hold","light"],"value":"9 %"}]}`}},
	{asked: asked{"erase", `{"paths":[["lamps","lamp-7","outline"]]}`}},
	{asked: asked{"feed", `{"input":"remote-1","feed":{"kind":"steady"}}`}},
	{asked: asked{"fill", `{"module":"module-4"}`}, before: []asked{{"wire", `{"module":"module-4","group":"field.3","output":0}`}}},
	{asked: asked{"join", `{"lamp":"lamp-7","group":"two","leds":["dot-1","dot-2"]}`}, before: []asked{dots}},
	{asked: asked{"lamp", `{"name":"lamp-x","end":"rear","side":"LH"}`}},
	{asked: dots},
	{asked: asked{"opposite", `{"of":"lamp-1","name":"lamp-x"}`}},
	{asked: asked{"order", `{"path":["signals","29"],"to":0}`}},
	{asked: asked{"pattern", `{"lamp":"lamp-7","index":0,"values":{"from":[6,5]}}`}},
	{asked: asked{"put", `{"lamp":"lamp-7","text":"- row: {name: extra, from: [5, 50], to: [195, 50], count: 4, group: 4, part: red-622}"}`}},
	{asked: asked{"remove", `{"path":["routines","wave-9"]}`}},
	{asked: asked{"rename", `{"kind":"zone","from":"field","to":"panel"}`}},
	{asked: asked{"rewire", `{"module":"module-4","outputs":{"field.1":2,"field.2":1}}`}},
	{asked: asked{"rotate", `{"module":"module-4","from":1,"to":20,"by":1}`}},
	{asked: asked{"serve", `{"lamp":"lamp-7","function":"park","groups":["field.1","field.2"],"required":false}`}},
	{asked: asked{"set", `{"path":["routines","wave-3","length"],"value":"2100 ms"}`}},
	{asked: asked{"shift", `{"paths":[["lamps","lamp-7","leds","0"]],"by":[1,2]}`}},
	{asked: asked{"swap", `{"module":"module-4","a":1,"b":2,"also":"module-5"}`}},
	{asked: asked{"unjoin", `{"lamp":"lamp-7","leds":["dot-1","dot-2"]}`}, before: []asked{dots, {"join", `{"lamp":"lamp-7","group":"two","leds":["dot-1","dot-2"]}`}}},
	{asked: asked{"wire", `{"module":"module-4","group":"field.3","output":0}`}},
	{asked: asked{"zone", `{"lamp":"lamp-7","name":"inner","groups":["field.1","field.2"]}`}},
}

var dots = asked{"leds", `{"lamp":"lamp-7","word":"dot","points":[[20,50],[40,50]],"part":"red-622"}`}
