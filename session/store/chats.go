package store

import (
	"bytes"
	"encoding/binary"

	"rodcall/session"
)

// Chat returns what a chat holds; a chat never heard of is empty.
func (t *Tx) Chat(key string) (session.Chat, error) {
	var c session.Chat
	_, err := load(t.bucket(bucketChat), []byte(key), &c)
	c.ID = key
	return c, err
}

// Conversation returns a person's place in a chat, empty at first.
func (t *Tx) Conversation(chat string, p session.PersonID) (session.Conversation, error) {
	var c session.Conversation
	_, err := load(t.bucket(bucketTalk), talkKey(chat, p), &c)
	return c, err
}

func talkKey(chat string, p session.PersonID) []byte { return under(chat, number(uint64(p))) }

// Person is who a number stands for. The zero person is nobody: what comes
// from no person, as a post of a channel does.
type Person struct {
	ID       session.PersonID `json:"-"`
	Platform string           `json:"platform"`
	Name     string           `json:"name"`
}

// Person returns the person of that number, if it is known.
func (t *Tx) Person(id session.PersonID) (Person, bool, error) {
	p := Person{ID: id}
	ok, err := load(t.bucket(bucketPeople), number(uint64(id)), &p)
	return p, ok, err
}

// PersonOf returns the number of a platform's id, 0 where it is not known.
func (t *Tx) PersonOf(platform string) session.PersonID {
	v := t.bucket(bucketPlatform).Get([]byte(platform))
	if len(v) != 8 {
		return 0
	}
	return session.PersonID(binary.BigEndian.Uint64(v))
}

// LastPerson is the highest number ever given to a person.
func (t *Tx) LastPerson() session.PersonID {
	return session.PersonID(t.bucket(bucketPeople).Sequence())
}

// savePerson stores a person, and as bytes, where that is not there already.
func (t *Tx) savePerson(p Person, stored []byte) error {
	people := t.bucket(bucketPeople)
	if p.ID == 0 || bytes.Equal(people.Get(number(uint64(p.ID))), stored) {
		return nil
	}
	known, ok, err := t.Person(p.ID)
	if err != nil {
		return err
	}
	if n := uint64(p.ID); n > people.Sequence() {
		if err := people.SetSequence(n); err != nil {
			return err
		}
	}
	if err := people.Put(number(uint64(p.ID)), stored); err != nil {
		return err
	}
	if ok && known.Platform != p.Platform {
		if err := t.bucket(bucketPlatform).Delete([]byte(known.Platform)); err != nil {
			return err
		}
	}
	return t.bucket(bucketPlatform).Put([]byte(p.Platform), number(uint64(p.ID)))
}

// Names returns the name of every person who is known.
func (t *Tx) Names() (map[session.PersonID]string, error) {
	out := map[session.PersonID]string{}
	c := t.bucket(bucketPeople).Cursor()
	for k, _ := c.First(); k != nil; k, _ = c.Next() {
		p, _, err := t.Person(session.PersonID(binary.BigEndian.Uint64(k)))
		if err != nil {
			return nil, err
		}
		out[p.ID] = p.Name
	}
	return out, nil
}

// Chats counts the chats that the file holds something of.
func (t *Tx) Chats() (int, error) {
	n := 0
	err := t.bucket(bucketChat).ForEach(func(_, _ []byte) error { n++; return nil })
	return n, err
}
