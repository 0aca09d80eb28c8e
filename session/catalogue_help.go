package session

// helpTexts say what each command does.
var helpTexts = map[Key]text{}
