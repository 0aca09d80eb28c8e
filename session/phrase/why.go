package phrase

// Reasons for asking back or refusing. The comment says what Args hold.
const (
	WhyNotUnderstood WhyCode = "not-understood" // the line
	WhyNoSide        WhyCode = "no-side"        // the amount: high or low?
)
