package phrase

// Reasons for asking back or refusing. The comment says what Args hold, before
// the example that ends them where the sentence shows one (finish.go).
const (
	WhyNotUnderstood WhyCode = "not-understood" // the line
	WhyNoSide        WhyCode = "no-side"        // the amount: high or low?
	WhySpotOrMove    WhyCode = "spot-or-move"   // the line, the word
	WhyTwoSides      WhyCode = "two-sides"      // the line
	WhyTwoAmounts    WhyCode = "two-amounts"    // the line
	WhyTwoWays       WhyCode = "two-ways"       // the amount that could be two things
	WhyUnsure        WhyCode = "unsure"         // the line, the word that makes it a guess
	WhyDash          WhyCode = "dash"           // the line: minus, or just a dash?
	WhyPlus          WhyCode = "plus"           // the line: past the corner, or high?
	WhyMore          WhyCode = "more"           // the line, the words not understood beside a reading
	WhyNoAmount      WhyCode = "no-amount"      // the line: how much?
	WhyGood          WhyCode = "good"           // the line: that it is fine is no reading
	WhySquare        WhyCode = "square"         // the line: squareness is not worked out
	WhyStationOnly   WhyCode = "station-only"   // the station's name
	WhyRodNumber     WhyCode = "rod-number"     // the line: a standard rod wants its own number
	WhyFeetOrInches  WhyCode = "feet-or-inches" // the number without a unit
	WhyMetres        WhyCode = "metres"         // the same, where it may be m or mm
	WhyNoPart        WhyCode = "no-part"        // the fraction that no rule shows
	WhyReach         WhyCode = "reach"          // the value, what the rod shows
	WhyPartsReach    WhyCode = "parts-reach"    // the parts that digits alone count, what the rod shows
	WhyInches        WhyCode = "inches"         // the inches, 12 or more behind feet
	WhyTooFine       WhyCode = "too-fine"       // the amount
	WhyNoStation     WhyCode = "no-station"     // the station, how many corners
	WhyNoPier        WhyCode = "no-pier"        // the station, how many piers
	WhyPastEnd       WhyCode = "past-end"       // the station, its corner, its wall's length with its unit
	WhyTwoStations   WhyCode = "two-stations"   // the line: which station?
	WhyMeant         WhyCode = "meant"          // what was sent, what it would be
	WhyTooLong       WhyCode = "too-long"       // how many characters are read
	WhyFewWalls      WhyCode = "few-walls"      // the command as sent, an example that works
	WhyNoTurn        WhyCode = "no-turn"        // the same
	WhyTurnAngle     WhyCode = "turn-angle"     // the same
	WhyLongWall      WhyCode = "long-wall"      // the same
	WhyNotPositive   WhyCode = "not-positive"   // the same
	WhyDatumSide     WhyCode = "datum-side"     // the command as sent: above or below?
	WhyStepSide      WhyCode = "step-side"      // the command as sent: lower or higher?
	WhyHowMuch       WhyCode = "how-much"       // the command as sent, an example that works
	WhyFallRun       WhyCode = "fall-run"       // the command as sent: over the wall, or in each foot?
	WhyTakesNone     WhyCode = "takes-none"     // the command as sent, the command alone, the station, an example of a reading
	WhyPartStep      WhyCode = "part-step"      // the line, an example that works
	WhyCommandForm   WhyCode = "command-form"   // the command as sent, an example that works
	WhyBetween       WhyCode = "between"        // the command as sent, the least, the most, an example that works
	WhyNote          WhyCode = "note"           // what stands behind the word note: a reading, or a note?
	WhyLongNote      WhyCode = "long-note"      // how many characters a line has
	WhyShimSizes     WhyCode = "shim-sizes"     // the command as sent, how many sizes, how thick at most, an example that works
)

// WhyCodes lists every reason.
func WhyCodes() []WhyCode {
	return []WhyCode{
		WhyNotUnderstood, WhyNoSide, WhySpotOrMove, WhyTwoSides, WhyTwoAmounts, WhyTwoWays, WhyUnsure, WhyDash,
		WhyPlus, WhyMore, WhyNoAmount, WhyGood, WhySquare, WhyStationOnly, WhyRodNumber, WhyFeetOrInches, WhyMetres, WhyNoPart, WhyReach, WhyPartsReach, WhyInches, WhyTooFine,
		WhyNoStation, WhyNoPier, WhyPastEnd, WhyTooLong, WhyCommandForm,
		WhyTwoStations, WhyMeant, WhyFewWalls, WhyNoTurn, WhyTurnAngle, WhyLongWall, WhyNotPositive, WhyDatumSide, WhyTakesNone,
		WhyBetween, WhyShimSizes,
		WhyStepSide, WhyHowMuch, WhyFallRun, WhyPartStep, WhyNote, WhyLongNote,
	}
}
