package session

// whyTexts say why a line was asked back or refused, one for each code of
// package phrase.
var whyTexts = map[Key]text{}
