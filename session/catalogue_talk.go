package session

// talkTexts are the sentences of the conversation.
var talkTexts = map[Key]text{}
