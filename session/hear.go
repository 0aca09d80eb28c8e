package session

// Hear answers one message. job is the job that the message is about (the
// chat's current one, or the one named by what it replies to), nil where
// there is none; it and chat are not changed. Hear never fails: what it cannot
// read it says so.
func Hear(chat Chat, job *Job, c Conversation, m Message) Outcome {
	return Outcome{Chat: chat, Conversation: c, Replies: []Reply{{Text: "?"}}}
}
