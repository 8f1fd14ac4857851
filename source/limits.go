package source

// Limits on what is read. They are far above any real job; they keep a damaged
// or hostile file from using up memory or time.
const (
	TextLimitBytes   = 4 << 20 // bytes of one file: 4 MiB
	DepthLimit       = 24      // levels of mappings and lists within one another
	NodeLimit        = 100_000 // values in one file
	KeyLimit         = 5_000   // keys of one mapping that is not in brackets
	StringLimitRunes = 8_192   // runes of one text
	NameLimitRunes   = 48      // runes of one name
	FaultLimit       = 200     // diagnostics from one reading; the last one says that there are more
)
