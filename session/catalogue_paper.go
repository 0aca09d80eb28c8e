package session

// paperTexts are the words on drawings, summaries and pages.
var paperTexts = map[Key]text{}
