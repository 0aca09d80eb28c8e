package bot

import (
	"context"
	"errors"
	"fmt"

	telegram "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"rodcall/session"
)

// RegisterCommands tells the platform which commands to list, in both
// languages.
func (b *Bot) RegisterCommands(ctx context.Context) error {
	var faults []error
	for code, lang := range map[string]string{"": "en", "es": "es"} {
		var list []models.BotCommand
		for _, c := range session.Menu(lang) {
			list = append(list, models.BotCommand{Command: c.Name, Description: c.Says})
		}
		if _, err := b.api.SetMyCommands(ctx, &telegram.SetMyCommandsParams{Commands: list, LanguageCode: code}); err != nil {
			faults = append(faults, fmt.Errorf("register the commands (%s): %w", lang, b.redacted(err)))
		}
	}
	return errors.Join(faults...)
}
