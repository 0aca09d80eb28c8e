package apitest

import (
	"fmt"
	"strings"
)

// A field is one parameter of a method, or one field of an object.
type field struct {
	name     string
	types    []string // any of them: string, int, bool, float, file, chat, [] of those, or an object's name
	required bool
}

// A schema is what a method's parameters or an object may hold.
type schema struct {
	name   string
	fields []field
}

func (s *schema) field(name string) (field, bool) {
	for _, f := range s.fields {
		if f.name == name {
			return f, true
		}
	}
	return field{}, false
}

// methods and objects are the parts of https://core.telegram.org/bots/api
// that the stand-in knows, read from the two tables of text below.
var methods, objects = readSchemas(methodTable), readSchemas(objectTable)

// readSchemas reads lines of a name and its fields, each "name:type" with "!"
// after what is required and "|" between types. A line that starts with a
// blank goes on with the name before.
func readSchemas(table string) map[string]*schema {
	found := make(map[string]*schema)
	var s *schema
	for line := range strings.Lines(table) {
		words := strings.Fields(line)
		if len(words) == 0 {
			continue
		}
		if line[0] != ' ' && line[0] != '\t' {
			s = &schema{name: words[0]}
			found[words[0]] = s
			words = words[1:]
		}
		for _, w := range words {
			name, types, ok := strings.Cut(w, ":")
			if !ok || s == nil {
				panic(fmt.Sprintf("apitest: bad word %q in the schema", w))
			}
			types, required := strings.CutSuffix(types, "!")
			s.fields = append(s.fields, field{name: name, types: strings.Split(types, "|"), required: required})
		}
	}
	return found
}

const methodTable = `
getMe
logOut
close
getUpdates offset:int limit:int timeout:int allowed_updates:[]string
setWebhook url:string! certificate:file ip_address:string max_connections:int
 allowed_updates:[]string drop_pending_updates:bool secret_token:string
deleteWebhook drop_pending_updates:bool
getWebhookInfo
sendMessage business_connection_id:string chat_id:chat! message_thread_id:int direct_messages_topic_id:int
 text:string! parse_mode:string entities:[]MessageEntity link_preview_options:LinkPreviewOptions
 disable_notification:bool protect_content:bool allow_paid_broadcast:bool message_effect_id:string
 suggested_post_parameters:SuggestedPostParameters reply_parameters:ReplyParameters
 reply_markup:InlineKeyboardMarkup|ReplyKeyboardMarkup|ReplyKeyboardRemove|ForceReply
sendPhoto business_connection_id:string chat_id:chat! message_thread_id:int direct_messages_topic_id:int
 photo:file! caption:string parse_mode:string caption_entities:[]MessageEntity
 show_caption_above_media:bool has_spoiler:bool
 disable_notification:bool protect_content:bool allow_paid_broadcast:bool message_effect_id:string
 suggested_post_parameters:SuggestedPostParameters reply_parameters:ReplyParameters
 reply_markup:InlineKeyboardMarkup|ReplyKeyboardMarkup|ReplyKeyboardRemove|ForceReply
sendDocument business_connection_id:string chat_id:chat! message_thread_id:int direct_messages_topic_id:int
 document:file! thumbnail:file caption:string parse_mode:string caption_entities:[]MessageEntity
 disable_content_type_detection:bool
 disable_notification:bool protect_content:bool allow_paid_broadcast:bool message_effect_id:string
 suggested_post_parameters:SuggestedPostParameters reply_parameters:ReplyParameters
 reply_markup:InlineKeyboardMarkup|ReplyKeyboardMarkup|ReplyKeyboardRemove|ForceReply
sendVoice business_connection_id:string chat_id:chat! message_thread_id:int direct_messages_topic_id:int
 voice:file! caption:string parse_mode:string caption_entities:[]MessageEntity duration:int
 disable_notification:bool protect_content:bool allow_paid_broadcast:bool message_effect_id:string
 suggested_post_parameters:SuggestedPostParameters reply_parameters:ReplyParameters
 reply_markup:InlineKeyboardMarkup|ReplyKeyboardMarkup|ReplyKeyboardRemove|ForceReply
editMessageText business_connection_id:string chat_id:chat message_id:int inline_message_id:string
 text:string! parse_mode:string entities:[]MessageEntity link_preview_options:LinkPreviewOptions
 reply_markup:InlineKeyboardMarkup
editMessageCaption business_connection_id:string chat_id:chat message_id:int inline_message_id:string
 caption:string parse_mode:string caption_entities:[]MessageEntity show_caption_above_media:bool
 reply_markup:InlineKeyboardMarkup
editMessageMedia business_connection_id:string chat_id:chat message_id:int inline_message_id:string
 media:InputMediaPhoto|InputMediaDocument! reply_markup:InlineKeyboardMarkup
editMessageReplyMarkup business_connection_id:string chat_id:chat message_id:int inline_message_id:string
 reply_markup:InlineKeyboardMarkup
deleteMessage chat_id:chat! message_id:int!
sendChatAction business_connection_id:string chat_id:chat! message_thread_id:int action:string!
answerCallbackQuery callback_query_id:string! text:string show_alert:bool url:string cache_time:int
setMyCommands commands:[]BotCommand! scope:BotCommandScope language_code:string
getMyCommands scope:BotCommandScope language_code:string
deleteMyCommands scope:BotCommandScope language_code:string
getFile file_id:string!
setMessageReaction chat_id:chat! message_id:int! reaction:[]ReactionType is_big:bool
getChat chat_id:chat!
getChatMember chat_id:chat! user_id:int!
getChatMemberCount chat_id:chat!
getChatAdministrators chat_id:chat!
`

const objectTable = `
MessageEntity type:string! offset:int! length:int! url:string user:User language:string custom_emoji_id:string
 unix_time:int date_time_format:string
User id:int! is_bot:bool! first_name:string! last_name:string username:string language_code:string
LinkPreviewOptions is_disabled:bool url:string prefer_small_media:bool prefer_large_media:bool show_above_text:bool
SuggestedPostParameters price:SuggestedPostPrice send_date:int
SuggestedPostPrice currency:string! amount:int!
ReplyParameters message_id:int! chat_id:chat allow_sending_without_reply:bool quote:string
 quote_parse_mode:string quote_entities:[]MessageEntity quote_position:int checklist_task_id:int
InlineKeyboardMarkup inline_keyboard:[][]InlineKeyboardButton!
InlineKeyboardButton text:string! icon_custom_emoji_id:string style:string
 url:string callback_data:string web_app:WebAppInfo login_url:LoginUrl
 switch_inline_query:string switch_inline_query_current_chat:string
 switch_inline_query_chosen_chat:SwitchInlineQueryChosenChat copy_text:CopyTextButton pay:bool
WebAppInfo url:string!
LoginUrl url:string! forward_text:string bot_username:string request_write_access:bool
SwitchInlineQueryChosenChat query:string allow_user_chats:bool allow_bot_chats:bool allow_group_chats:bool
 allow_channel_chats:bool
CopyTextButton text:string!
ReplyKeyboardMarkup keyboard:[][]KeyboardButton! is_persistent:bool resize_keyboard:bool
 one_time_keyboard:bool input_field_placeholder:string selective:bool
KeyboardButton text:string! icon_custom_emoji_id:string style:string request_contact:bool request_location:bool
ReplyKeyboardRemove remove_keyboard:bool! selective:bool
ForceReply force_reply:bool! input_field_placeholder:string selective:bool
InputMediaPhoto type:string! media:file! caption:string parse_mode:string caption_entities:[]MessageEntity
 show_caption_above_media:bool has_spoiler:bool
InputMediaDocument type:string! media:file! thumbnail:file caption:string parse_mode:string
 caption_entities:[]MessageEntity disable_content_type_detection:bool
BotCommand command:string! description:string!
BotCommandScope type:string! chat_id:chat user_id:int
ReactionType type:string! emoji:string custom_emoji_id:string
`
