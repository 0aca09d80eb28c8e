package apitest

import "fmt"

// stand changes how a user stands in a chat, and tells the bot if it may know.
// s.mu is held.
func (s *Server) stand(c *chat, by, who User, standing string) {
	before := s.memberOf(c, who.ID)
	if c.members[who.ID] == standing {
		return
	}
	c.members[who.ID] = standing
	kind := "chat_member"
	if who.ID == s.bot.ID {
		kind = "my_chat_member"
	} else if c.members[s.bot.ID] != standingAdmin {
		return
	}
	s.push(kind, c.id, Limits.UpdateLife, map[string]any{"chat": c.api(), "from": by, "date": s.cfg.Now().Unix(),
		"old_chat_member": before, "new_chat_member": s.memberOf(c, who.ID)})
}

// service adds a service message and sends it to the bot. s.mu is held.
func (c *Chat) service(in *chat, by User, name string, value any) *Message {
	m := c.srv.add(in, &Message{From: by, Service: name, extra: map[string]any{name: value}})
	if c.srv.reaches(in, m) {
		c.srv.push("message", in.id, Limits.UpdateLife, c.srv.api(m, true))
	}
	return m
}

// Block keeps the bot out: of a private chat by its person, of a group by a
// member. The bot's requests are answered 403.
func (c *Chat) Block(u User) {
	in, done := c.by(u)
	defer done()
	c.srv.stand(in, u, c.srv.bot, standingKicked)
	c.srv.wake()
}

// Unblock lets the bot in again, as a member.
func (c *Chat) Unblock(u User) {
	in, done := c.by(u)
	defer done()
	c.srv.stand(in, u, c.srv.bot, standingMember)
	c.srv.wake()
}

// Promote makes a member, or the bot, an administrator.
func (c *Chat) Promote(by, who User) { c.change(by, who, standingAdmin) }

// Demote makes an administrator, or the bot, a plain member.
func (c *Chat) Demote(by, who User) { c.change(by, who, standingMember) }

func (c *Chat) change(by, who User, standing string) {
	in, done := c.by(by)
	defer done()
	c.srv.stand(in, by, who, standing)
	c.srv.wake()
}

// Join puts a person into a group.
func (c *Chat) Join(u User) {
	in, done := c.by(u)
	defer done()
	c.service(in, u, "new_chat_members", []User{u})
}

// Leave takes a person out of a group.
func (c *Chat) Leave(u User) {
	in, done := c.by(u)
	defer done()
	c.service(in, u, "left_chat_member", u)
	c.srv.stand(in, u, u, standingLeft)
}

// OpenTopic makes a supergroup a forum, if it is none, and opens a topic in
// it. What is done by the hand returned is done in that topic.
func (c *Chat) OpenTopic(by User, title string) *Chat {
	in, done := c.by(by)
	defer done()
	if in.kind != kindSupergroup {
		panic(fmt.Sprintf("apitest: chat %d is no supergroup", c.id))
	}
	in.forum = true
	m := &Message{From: by, Service: "forum_topic_created", thread: in.lastID + 1,
		extra: map[string]any{"forum_topic_created": map[string]any{"name": title, "icon_color": 7322096}}}
	in.topics[in.lastID+1] = title
	c.srv.add(in, m)
	if c.srv.reaches(in, m) {
		c.srv.push("message", in.id, Limits.UpdateLife, c.srv.api(m, true))
	}
	return &Chat{srv: c.srv, id: c.id, topic: m.ID}
}

// Migrate makes a small group a supergroup and returns the hand for it. The
// old id is answered 400 with parameters.migrate_to_chat_id from now on; the
// old messages stay behind under it, and new ones count from 1.
func (c *Chat) Migrate(by User) *Chat {
	in, done := c.by(by)
	defer done()
	s := c.srv
	if in.kind != kindGroup || in.migratedTo != 0 {
		panic(fmt.Sprintf("apitest: chat %d cannot become a supergroup", c.id))
	}
	s.lastID++
	next := s.newChat(-1_000_000_000_000-2_000_000_000-s.lastID, kindSupergroup, in.title)
	for id, standing := range in.members {
		next.members[id] = standing
	}
	c.service(in, by, "migrate_to_chat_id", next.id)
	hand := &Chat{srv: s, id: next.id}
	hand.service(next, by, "migrate_from_chat_id", in.id)
	in.migratedTo = next.id
	s.wake()
	return hand
}

// SetName gives a group its @name, without the @.
func (c *Chat) SetName(name string) {
	c.srv.mu.Lock()
	defer c.srv.mu.Unlock()
	c.srv.chats[c.id].name = name
	c.srv.byName["@"+name] = c.id
}
