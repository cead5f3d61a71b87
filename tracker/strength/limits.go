package strength

// SayNothing reports whether limits leave open all that anybody would ask: that the
// truth is less than a tenth of a value and that it is more than ten times it. Two
// specimens that differ much have such limits. Of a ratio the value is 1, of a
// strength its estimate. Without both limits there is nothing that could say.
func SayNothing(low, high *float64, value float64) bool {
	return low != nil && high != nil && *low < value/10 && *high > value*10
}
