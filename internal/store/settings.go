package store

import (
	"context"
	"errors"
	"fmt"
)

// Setting returns a setting, or instead when nobody has set it.
func (s *Store) Setting(ctx context.Context, name, instead string) (string, error) {
	var value string
	err := found(s.read.QueryRowContext(ctx, `SELECT value FROM settings WHERE tenant_id = $1 AND name = $2`, s.tenant, name).Scan(&value))
	if errors.Is(err, ErrNone) {
		return instead, nil
	}
	return value, err
}

// Set sets a setting.
func (s *Store) Set(ctx context.Context, by, name, value string) error {
	err := s.Change(ctx, func(t *Tx) error {
		if err := plain(name, value); err != nil {
			return err
		}
		if err := t.audit(by, "setting.set", name, value); err != nil {
			return err
		}
		return t.Exec(`INSERT INTO settings (tenant_id, name, value) VALUES ($1, $2, $3)
			ON CONFLICT (tenant_id, name) DO UPDATE SET value = excluded.value`, t.tenant, name, value)
	})
	if err != nil {
		return fmt.Errorf("set %s: %w", name, err)
	}
	return nil
}
